"""Which sites are seen on which day and in what order, so that what is seen is worth most?

What is seen rules; of two plans worth the same the one with less driving is taken. The same
problem, seed and turns give the same plan on any machine, whatever the sites are called.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.progress import Progress
from slackwater.visits.problem import MustsDoNotFit, Problem
from slackwater.visits.routes import Order, routes_of
from slackwater.visits.search import search, shortest_over

Whole = NDArray[np.int64]
SEED, TURNS = 7, 1000
SOFT_S = (3600, 60, 600, 3600)
"""How soft days are in each search; the best of them counts.

Measured on invented runs: days as hard as walls leave 1 to 4 % of the worth on the road at 40 to 80
sites, where an hour leaves a half at most; at eight sites it is the other way round.
"""
FEW, FEW_TIMES = 16, 3
"""Up to so many sites each search is made so many times: they are quick, and can get stuck."""


@dataclass(frozen=True)
class Plan:
    """A run.

    Attributes
    ----------
    orders : sites of each day in their order.
    worth : of all that is seen.
    """

    orders: tuple[Order, ...]
    worth: float


def plan_run(
    problem: Problem, progress: Progress | None = None, *, seed: int = SEED, turns: int = TURNS
) -> Plan:
    """Plan a run over all its days.

    Raises
    ------
    MustsDoNotFit
        Where what must be seen does not fit, with what it is short by.
    Cancelled
        Where ``progress`` was told to stop.
    """
    return _Planner(problem, progress or Progress(), seed, turns).plan(problem, ())


def plans_by_days(
    problem: Problem, progress: Progress | None = None, *, seed: int = SEED, turns: int = TURNS
) -> tuple[Plan | None, ...]:
    """Plan the first day alone, the first two, and so on to all: one more never shows less.

    None where so few days do not hold what must be seen.

    Raises
    ------
    MustsDoNotFit
        Where all days do not hold it.
    Cancelled
        Where ``progress`` was told to stop.
    """
    planner = _Planner(problem, progress or Progress(), seed, turns)
    plans: list[Plan | None] = []
    start: tuple[Order, ...] = ()
    for days in range(1, len(problem.days) + 1):
        try:
            plan = planner.plan(problem.within(days), start)
        except MustsDoNotFit:
            if days == len(problem.days):
                raise
            plans.append(None)
            continue
        plans.append(plan)
        start = (*plan.orders, ())
    return tuple(plans)


class _Planner:
    """One problem's search."""

    def __init__(self, problem: Problem, progress: Progress, seed: int, turns: int) -> None:
        self.progress, self.seed, self.turns = progress, seed, turns
        self.sites = _worth_asking(problem)

    def plan(self, problem: Problem, start: tuple[Order, ...]) -> Plan:
        """Plan some days, from a run that fits them where one is known."""
        home: tuple[Order, ...] = ((),) * len(problem.days)
        if not len(self.sites):
            return Plan(home, 0.0)
        held = start or self._musts(problem) or home
        found = [
            search(problem, self.sites, self.progress, turns=self.turns, seed=self.seed + n,
                   soft_s=soft_s, start=() if n else held)
            for n, soft_s in enumerate(SOFT_S * (FEW_TIMES if len(self.sites) <= FEW else 1))
        ]  # fmt: skip
        known = [orders for orders in (*found, held) if orders]
        orders = max(known, key=lambda each: _merit(problem, each))
        return Plan(_best_first(problem, orders), _merit(problem, orders)[0])

    def _musts(self, problem: Problem) -> tuple[Order, ...]:
        """Give a run of what must be seen alone; () where nothing must.

        Raises
        ------
        MustsDoNotFit
            Where there is none.
        """
        musts = self.sites[problem.must[self.sites]]
        if not len(musts):
            return ()
        lengths = [day.length_s for day in problem.days]
        over = np.min([problem.alone_s(d) - s for d, s in enumerate(lengths)], axis=0)[musts]
        if over.max() > 0:
            raise MustsDoNotFit(int(musts[over.argmax()]), int(over.max()))
        orders, short_s = shortest_over(
            problem, musts, self.progress, turns=self.turns, seed=self.seed
        )
        if short_s > 0:
            raise MustsDoNotFit(None, short_s)
        return orders


def _worth_asking(problem: Problem) -> Whole:
    """Give the sites that must be seen or are worth something and near enough for a day.

    In an order of their own that follows from places and worth alone: a search may hang on it.
    """
    lengths = np.array([day.length_s for day in problem.days])
    alone = np.array([problem.alone_s(day) for day in range(len(lengths))])
    near = (alone <= lengths[:, None]).any(axis=0)
    asked = problem.must | ((problem.worth > 0) & near)
    ways = problem.travel_s[:, : problem.sites].sum(axis=0)
    order = np.lexsort((ways, alone.min(axis=0), -problem.worth))
    kept: Whole = order[asked[order]]
    return kept


def _merit(problem: Problem, orders: Sequence[Order]) -> tuple[float, int]:
    """Give worth, then driving spared."""
    routes = routes_of(problem, orders)
    # summed in one order, so that the same sites are worth the same however they are shared out
    seen = sorted(site for order in orders for site in order)
    return float(problem.worth[seen].sum()), -sum(route.drive_s for route in routes)


def _best_first(problem: Problem, orders: Sequence[Order]) -> tuple[Order, ...]:
    """Give days that are alike in order of what they show: the first shows most."""
    routes = routes_of(problem, orders)
    sorted_days = sorted(range(len(orders)), key=lambda d: (-routes[d].worth, routes[d].seconds))
    left = list(sorted_days)
    placed = []
    for day in problem.days:
        taken = next(d for d in left if problem.days[d] == day)
        left.remove(taken)
        placed.append(tuple(orders[taken]))
    return tuple(placed)
