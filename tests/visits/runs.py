"""Runs for the checks: random ones, every order of a small one, and a general library's answer."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, permutations

import numpy as np

from slackwater.visits.problem import Day, Problem, problem_of
from slackwater.visits.travel import Travel

FAR = 1 << 60


def random_run(
    sites: int, days: int, seed: int, *, musts: int = 0, depots: int = 1, hours: float = 8.0,
    across_m: float = 120e3, idle: float = 0.3,
) -> Problem:  # fmt: skip
    """Sites on a square, worth drawn lognormal, some of none; 60 km/h, 45 minutes at each."""
    rng = np.random.default_rng(seed)
    at = rng.uniform(0, across_m, (sites + depots, 2))
    metres = 1.3 * np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1))
    worth = np.where(rng.random(sites) < idle, 0.0, rng.lognormal(0, 1.2, sites))
    must = np.zeros(sites, bool)
    must[rng.choice(sites, musts, replace=False)] = True
    travel = Travel(metres / (60 / 3.6), metres, np.zeros(metres.shape, bool))
    length = int(3600 * hours)
    return problem_of(
        travel, np.full(sites, 2700.0), worth, must,
        tuple(Day(day % depots, length) for day in range(days)),
    )  # fmt: skip


def relabelled(problem: Problem, order: np.ndarray) -> Problem:
    """Give the same run with its sites in another order."""
    places = np.concatenate((order, np.arange(problem.sites, len(problem.travel_s))))
    return Problem(
        problem.travel_s[np.ix_(places, places)], problem.travel_m[np.ix_(places, places)],
        problem.service_s[order], problem.worth[order], problem.must[order], problem.days,
    )  # fmt: skip


def enumerated(problem: Problem) -> tuple[float, int] | None:
    """Give worth and seconds driven of the best run, over every subset, order and sharing out.

    None where no run has all that must be seen. Of equal worth, the one with least driving.
    """
    sites = range(problem.sites)
    driven = [_shortest(problem, day) for day in range(len(problem.days))]
    reached = {frozenset[int](): 0}
    for by_set in driven:
        after: dict[frozenset[int], int] = {}
        for seen, so_far in reached.items():
            for more, seconds in by_set.items():
                if not seen & more:
                    both = seen | more
                    after[both] = min(after.get(both, FAR), so_far + seconds)
        reached = after
    must = {site for site in sites if problem.must[site]}
    found = [
        (float(sum(problem.worth[site] for site in sorted(seen))), -seconds)
        for seen, seconds in reached.items()
        if must <= seen
    ]
    if not found:
        return None
    worth = max(each[0] for each in found)
    equal = [seconds for each, seconds in found if each >= worth - 1e-9]
    return worth, -max(equal)


def _shortest(problem: Problem, day: int) -> dict[frozenset[int], int]:
    """Give the least driving for every set of sites that fits into a day, over all its orders."""
    depot, length = problem.depot_of(day), problem.days[day].length_s
    least: dict[frozenset[int], int] = {frozenset(): 0}
    for order in _orders(problem.sites):
        way = [depot, *order, depot]
        drive = int(sum(problem.travel_s[a, b] for a, b in pairwise(way)))
        if drive + int(problem.service_s[list(order)].sum()) <= length:
            key = frozenset(order)
            least[key] = min(least.get(key, FAR), drive)
    return least


def _orders(sites: int, most: int = 5) -> Iterator[tuple[int, ...]]:
    """Give every order of every set of at most so many sites; no day of the checks holds more."""
    for count in range(1, most + 1):
        yield from permutations(range(sites), count)
