"""What comes next for the money? Steps from option to option, the most gain for its cost first.

At each site only options on the upper hull of value over cost can be worth their price, whatever it
is (the multiple-choice knapsack; Sinha, Zoltners 1979; Kellerer, Pferschy, Pisinger 2004, chapter
11). Taking steps in order of value for cost, the last in part, is the most that any set within a
budget can be worth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
NONE = -1


@dataclass(frozen=True)
class Steps:
    """Steps (n,) in order of value for cost; those of one site go from cheap to dear.

    Attributes
    ----------
    site, option : where, and what it takes in place of the option before.
    cost, value : what the step adds.
    """

    site: Positions
    option: Positions
    cost: Numbers
    value: Numbers

    def until(self, spent: float) -> int:
        """How many steps are affordable, all of them in order."""
        return int(np.searchsorted(np.cumsum(self.cost), spent, side="right"))


def steps_from(start: Positions, value: Numbers, cost: Numbers) -> Steps:
    """List the steps up from an option (or none) at each site.

    Parameters
    ----------
    start : (sites,) option in place, -1 for none, which costs and is worth nothing.
    value, cost : (sites, options); infinite cost where an option cannot be chosen.
    """
    site = np.arange(len(start))
    now_value = np.where(start == NONE, 0.0, value[site, start])
    now_cost = np.where(start == NONE, 0.0, cost[site, start])
    found: list[tuple[Positions, Positions, Numbers, Numbers]] = []
    while len(site):
        more, dearer = value[site] - now_value[:, None], cost[site] - now_cost[:, None]
        up = (more > 0) & (dearer > 0) & np.isfinite(dearer)
        slope = np.divide(more, dearer, out=np.zeros_like(more), where=up)
        option, row = slope.argmax(axis=1), np.arange(len(site))
        row = row[slope[row, option] > 0]
        site, option = site[row], option[row]
        found.append((site, option, dearer[row, option], more[row, option]))
        now_value, now_cost = value[site, option], cost[site, option]
    if not found:
        nothing = np.zeros(0)
        return Steps(nothing.astype(np.int64), nothing.astype(np.int64), nothing, nothing)
    of_site, to, dearer, more = (np.concatenate(part) for part in zip(*found, strict=True))
    order = np.argsort(-more / dearer, kind="stable")
    return Steps(of_site[order], to[order], dearer[order], more[order])


def cheapest(value: Numbers, cost: Numbers, must: NDArray[np.bool_]) -> Positions:
    """(sites,) what to start from: the best of what costs nothing, the cheapest where one must."""
    free = np.where(cost <= 0, value, -np.inf)
    start = np.where(free.max(axis=1) > 0, free.argmax(axis=1), NONE)
    least = cost.min(axis=1, keepdims=True)
    of_least = np.where(cost <= least, value, -np.inf).argmax(axis=1)
    forced: Positions = np.where(must & (start == NONE), of_least, start)
    return forced


def most_worth(start_value: float, steps: Steps, budgets: Numbers) -> Numbers:
    """(budgets,) the most that any set within each budget, counted from the start, is worth."""
    spent = np.concatenate(([0.0], np.cumsum(steps.cost)))
    worth = start_value + np.concatenate(([0.0], np.cumsum(steps.value)))
    return np.interp(budgets, spent, worth)
