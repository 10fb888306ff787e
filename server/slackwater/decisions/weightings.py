"""Under how many weightings is a site funded by score?

Section 11 of the methods page: weightings are uniform on the simplex over all criteria. Many lists
are spent side by side, one a row, just as `fund_by_score` spends one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import EQUAL, Site, fund_by_score

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
AT_ONCE = 256
NOBODY = np.array([], np.int64)


def random_weightings(criteria: int, count: int, seed: int) -> Whole:
    """(count, criteria) whole thousandths of weights uniform on the simplex; largest remainder."""
    exact = 1000 * np.random.default_rng(seed).dirichlet(np.ones(criteria), count)
    whole = np.floor(exact).astype(np.int64)
    place = np.argsort(np.argsort(whole - exact, axis=1, kind="stable"), axis=1, kind="stable")
    return whole + (place < 1000 - whole.sum(axis=1, keepdims=True))


@dataclass(frozen=True)
class Lists:
    """Lists by score of the same sites under the same budget, each with an order of its own.

    Attributes
    ----------
    spent : by committed sites, which come first on every list.
    committed : (offtakes,) they are inside.
    cost : (offtakes,) to the fund of the best option; infinite where the site is not eligible.
    """

    spent: float
    committed: Flags
    cost: Numbers
    budget: float

    def inside(
        self, orders: Whole, changed: Whole | None = None, changed_cost: Numbers | None = None
    ) -> Flags:
        """(lists, offtakes) who is funded.

        Parameters
        ----------
        orders : (lists, offtakes) positions, best first.
        changed, changed_cost : (lists,) a site a list whose cost is another there.
        """
        row = np.arange(len(orders))
        inside = np.tile(self.committed, (len(orders), 1))
        spent = np.full(len(orders), self.spent)
        for site in orders.T:
            cost = self.cost[site]
            if changed is not None and changed_cost is not None:
                cost = np.where((site == changed) & np.isfinite(cost), changed_cost, cost)
            takes = spent + cost <= self.budget * (1 + EQUAL)
            spent = np.where(takes, spent + cost, spent)
            inside[row, site] |= takes
        return inside


def lists_of(sites: Sequence[Site], option_ids: Sequence[str], budget: float) -> Lists:
    """Lay out lists by score.

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    """
    begun = fund_by_score(sites, NOBODY, option_ids, budget)
    committed = np.zeros(len(sites), bool)
    committed[[p for p, _ in begun.picks]] = True
    cost = [s.cost[s.best_option] if s.eligible and s.best_option >= 0 else np.inf for s in sites]
    return Lists(begun.spent, committed, np.array(cost, np.float64), budget)


def orders_of(score: Whole, tie_place: Numbers) -> Whole:
    """(lists, offtakes) positions, best first.

    Parameters
    ----------
    score : (lists, offtakes) whole.
    tie_place : (offtakes,) or (lists, offtakes), the lower first between equal scores.
    """
    by_tie = np.argsort(np.broadcast_to(tie_place, score.shape), axis=1, kind="stable")
    falling = np.argsort(-np.take_along_axis(score, by_tie, axis=1), axis=1, kind="stable")
    return np.take_along_axis(by_tie, falling, axis=1)


def times_funded(lists: Lists, values: Whole, tie_order: Whole, weightings: Whole) -> Whole:
    """(offtakes,) under how many weightings each site is funded by score.

    Parameters
    ----------
    values : (criteria, offtakes) millionths.
    weightings : (count, criteria) thousandths.
    """
    tie_place = np.argsort(tie_order).astype(np.float64)
    counts = np.zeros(values.shape[1], np.int64)
    for first in range(0, len(weightings), AT_ONCE):
        score = weightings[first : first + AT_ONCE] @ values
        counts += lists.inside(orders_of(score, tie_place)).sum(axis=0)
    return counts
