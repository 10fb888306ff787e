"""When does one arrive and leave along a given order of stops, and what would one more take?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slackwater.visits.problem import Problem

Order = tuple[int, ...]


@dataclass(frozen=True)
class Stop:
    """One site along a day; seconds from leaving the depot.

    Attributes
    ----------
    drive_s, drive_m : from the stop before, or the depot.
    """

    site: int
    arrive_s: int
    leave_s: int
    drive_s: int
    drive_m: float


@dataclass(frozen=True)
class Route:
    """One day in its order.

    Attributes
    ----------
    back_s, back_m : from the last stop to the depot; 0 on a day without stops.
    seconds : from leaving the depot to being back there.
    over_s : seconds by which it is longer than the day; 0 where it fits.
    worth : of its stops.
    """

    stops: tuple[Stop, ...]
    back_s: int
    back_m: float
    seconds: int
    over_s: int
    worth: float

    @property
    def drive_s(self) -> int:
        """Seconds on the road."""
        return sum(stop.drive_s for stop in self.stops) + self.back_s

    @property
    def drive_m(self) -> float:
        """Metres on the road."""
        return sum(stop.drive_m for stop in self.stops) + self.back_m


@dataclass(frozen=True)
class OneMore:
    """What one more site takes.

    Attributes
    ----------
    before : position in the day's order at which it takes least.
    more_s : seconds by which the day becomes longer.
    short_s : seconds by which the day is then too long; 0 where it fits.
    """

    site: int
    day: int
    before: int
    more_s: int
    short_s: int


def routes_of(problem: Problem, orders: Sequence[Order]) -> tuple[Route, ...]:
    """Give each day's route, in the order given: nothing is moved and nothing refused."""
    return tuple(_route(problem, day, order) for day, order in enumerate(orders))


def _route(problem: Problem, day: int, order: Order) -> Route:
    depot = at = problem.depot_of(day)
    now, stops = 0, []
    for site in order:
        drive_s, drive_m = int(problem.travel_s[at, site]), float(problem.travel_m[at, site])
        arrive = now + drive_s
        now, at = arrive + int(problem.service_s[site]), site
        stops.append(Stop(site, arrive, now, drive_s, drive_m))
    back_s, back_m = int(problem.travel_s[at, depot]), float(problem.travel_m[at, depot])
    if not stops:
        back_s, back_m = 0, 0.0
    seconds = now + back_s
    over = max(0, seconds - problem.days[day].length_s)
    return Route(
        tuple(stops), back_s, back_m, seconds, over, float(problem.worth[list(order)].sum())
    )


def one_more(problem: Problem, orders: Sequence[Order], site: int) -> OneMore:
    """Say where one more site takes least beyond what its day has left."""
    best: OneMore | None = None
    for day, order in enumerate(orders):
        depot = problem.depot_of(day)
        way = np.array([depot, *order, depot])
        cost = problem.travel_s
        more = cost[way[:-1], site] + cost[site, way[1:]] - cost[way[:-1], way[1:]]
        before = int(more.argmin())
        longer = int(more[before] + problem.service_s[site])
        spare = problem.days[day].length_s - _route(problem, day, tuple(order)).seconds
        found = OneMore(site, day, before, longer, max(0, longer - spare))
        if best is None or (found.short_s, found.more_s) < (best.short_s, best.more_s):
            best = found
    assert best is not None  # a run has at least one day
    return best
