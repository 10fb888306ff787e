"""More than what worth can no run show, however it is laid?

Lagrangian bound: each site has a toll, taken back once over all days, and each day drives the best
walk there is for what its stops are worth less their tolls. A walk is a relaxed route: it may come
back to a site, though not straight from the next one (Christofides, Mingozzi and Toth 1981, from
memory). Time is counted in units, each leg rounded down. Whatever the tolls are, no run shows more;
subgradient steps make them good ones.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.progress import Progress
from slackwater.visits.problem import Day, Problem

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]
TURNS, HALVED_AFTER = 160, 8
UNITS, FINE_UNITS = 240, 960
"""Units in the longest day, while tolls are sought and for the last word."""
CLOSE = 1e-9


def most_worth(
    problem: Problem, shown: float, progress: Progress | None = None, *, turns: int = TURNS
) -> float:
    """Give a worth that no run exceeds.

    Parameters
    ----------
    shown : worth of the best run known; it steers the steps and decides nothing.
    turns : of search for tolls, each counted in ``progress``.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    progress = progress or Progress()
    progress.expect(turns)
    walks = _Walks(problem, UNITS)
    every = float(problem.worth[walks.sites].sum())
    worth, free = problem.worth[walks.sites], problem.must[walks.sites]
    toll, best, best_toll = np.zeros(len(worth)), np.inf, np.zeros(len(worth))
    step, idle = 1.0, 0
    for turn in range(turns):
        progress.advance()
        value, visits = walks.best(worth - toll)
        value += float(toll.sum())
        idle = 0 if value < best * (1 - 1e-4) else idle + 1
        if value < best:
            best, best_toll = value, toll
        behind = visits - 1.0
        if min(best, every) <= shown * (1 + CLOSE) or not behind.any():
            progress.advance(turns - turn - 1)
            break
        if idle >= HALVED_AFTER:
            step, idle = step / 2, 0
        toll = toll + step * max(value - shown, 1e-6 * abs(value)) / float(behind @ behind) * behind
        toll = np.where(free, toll, np.maximum(toll, 0.0))
    fine, _ = _Walks(problem, FINE_UNITS).best(worth - best_toll)
    return max(shown, min(best, every, fine + float(best_toll.sum())))


@dataclass(frozen=True, eq=False)
class _Labels:
    """Best walks by (time, site) they end at: the best, and the best from another site before.

    Rows of times below 0 come first, and are empty.

    Attributes
    ----------
    value, other : (times, sites), minus infinity where there is none.
    before, other_before : (times, sites) the site before; -1 for the depot.
    """

    value: Numbers
    other: Numbers
    before: Whole
    other_before: Whole


class _Walks:
    """The walks of a problem, time in units."""

    def __init__(self, problem: Problem, units: int) -> None:
        longest = max(day.length_s for day in problem.days)
        self.unit_s = max(1.0, longest / units)
        lengths = np.array([day.length_s for day in problem.days])[:, None]
        alone = np.array([problem.alone_s(day) for day in range(len(lengths))])
        asked = (problem.worth > 0) | problem.must
        self.sites: Whole = np.flatnonzero(asked & (alone <= lengths).any(axis=0))
        self.problem, self.days = problem, Counter(problem.days)
        own = problem.travel_s[np.ix_(self.sites, self.sites)] + problem.service_s[self.sites]
        leg = np.floor(own / self.unit_s).astype(np.int64)
        np.fill_diagonal(leg, 1)
        # a leg of less than a unit counts as one, and the day is longer by as many as there can be
        self.more = int((leg < 1).any(axis=0).sum())
        self.leg = np.maximum(leg, 1)

    def best(self, value: Numbers) -> tuple[float, Numbers]:
        """Give what each day's best walk is worth, summed over days, and how often sites stand."""
        total, visits = 0.0, np.zeros(len(value))
        if not len(value):
            return total, visits
        for day, count in self.days.items():
            worth, stands = self._of(day, value)
            total += count * worth
            visits += count * stands
        return total, visits

    def _of(self, day: Day, value: Numbers) -> tuple[float, Numbers]:
        problem, sites = self.problem, self.sites
        depot = problem.sites + day.depot
        units = int(day.length_s / self.unit_s) + self.more
        out = problem.travel_s[depot, sites] + problem.service_s[sites]
        first = np.floor(out / self.unit_s).astype(np.int64)
        back = np.floor(problem.travel_s[sites, depot] / self.unit_s).astype(np.int64)
        labels = self._labels(value, first, units)
        ahead = len(labels.value) - units - 1
        ends = np.arange(-ahead, units + 1)[:, None] + back <= units
        gained = np.where(ends, labels.value, -np.inf)
        at = int(gained.argmax())
        best = float(gained.flat[at])
        visits = np.zeros(len(value))
        if best <= 0:  # a day at home gains nothing and costs nothing
            return 0.0, visits
        time, site = divmod(at, len(value))
        other = False
        while site >= 0:
            visits[site] += 1
            before = int((labels.other_before if other else labels.before)[time, site])
            if before >= 0:
                time -= int(self.leg[before, site])
                other = int(labels.before[time, before]) == site
            site = before
        return best, visits

    def _labels(self, value: Numbers, first: Whole, units: int) -> _Labels:
        count, ahead = len(value), int(self.leg.max())
        shape = (ahead + units + 1, count)  # rows ahead of time 0, so that nothing comes from there
        labels = _Labels(
            np.full(shape, -np.inf), np.full(shape, -np.inf),
            np.full(shape, -2, np.int64), np.full(shape, -2, np.int64),
        )  # fmt: skip
        own = np.arange(count)
        come_from = (own[:, None] - count * self.leg).ravel()
        to = np.tile(own, count)
        value_flat, other_flat, before_flat = (
            each.reshape(-1) for each in (labels.value, labels.other, labels.before)
        )
        starts: dict[int, list[int]] = {}
        for site, time in enumerate(first.tolist()):
            starts.setdefault(time, []).append(site)
        soonest = int(first.min()) if count else 0
        for time in range(soonest, units + 1):
            row = ahead + time
            if time > soonest:
                held = come_from + row * count
                back_again = before_flat.take(held) == to
                gained = np.where(back_again, other_flat.take(held), value_flat.take(held))
                gained = gained.reshape(count, count)
                gained[own, own] = -np.inf
                come = gained.argmax(axis=0)
                labels.value[row], labels.before[row] = gained[come, own] + value, come
                gained[come, own] = -np.inf
                after = gained.argmax(axis=0)
                labels.other[row], labels.other_before[row] = gained[after, own] + value, after
            for site in starts.get(time, ()):
                self._start(labels, row, site, float(value[site]))
        return labels

    @staticmethod
    def _start(labels: _Labels, time: int, site: int, gained: float) -> None:
        """Put in a walk that comes straight from the depot."""
        if gained > labels.value[time, site]:
            labels.other[time, site] = labels.value[time, site]
            labels.other_before[time, site] = labels.before[time, site]
            labels.value[time, site], labels.before[time, site] = gained, -1
        elif gained > labels.other[time, site]:
            labels.other[time, site], labels.other_before[time, site] = gained, -1
