"""What does the list by score fund under weights of one's own, and which calls are close?

The page's arithmetic (``web/src/core``: rank, fund, weights, close_calls) to the last place, so
that a case holds what stood on the screen. Its close calls are the page's: a weight up or down by
0.05, the others in their proportion, or the site's own cost up or down by a tenth, its rank as it
is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import Site, cost_of, fits, fund_by_score
from slackwater.decisions.score import Ranking
from slackwater.decisions.weightings import lists_of, orders_of
from slackwater.desk.trial import WHOLE

Whole = NDArray[np.int64]
WEIGHT_STEP = WHOLE // 20
COST_STEP = 0.1


@dataclass(frozen=True)
class Listed:
    """The list by score under some weights, and what a budget buys of it.

    Attributes
    ----------
    score : (offtakes,) whole billionths.
    order : (offtakes,) positions, best first.
    picks : position -> option of those inside the money.
    close : positions that a little more or less would turn.
    """

    score: Whole
    order: Whole
    picks: Mapping[int, int]
    spent: float
    close: frozenset[int]

    @property
    def rank(self) -> Whole:
        """(offtakes,) 1 for the first."""
        rank = np.empty(len(self.order), np.int64)
        rank[self.order] = np.arange(1, len(self.order) + 1)
        return rank


def list_by_score(
    ranking: Ranking,
    sites: Sequence[Site],
    option_ids: Sequence[str],
    weights: Mapping[str, int],
    budget: float,
) -> Listed:
    """Rank anew and fund; of the ranking only criteria, their values and ties are read.

    Parameters
    ----------
    weights : whole thousandths, in the order of the criteria.

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    """
    score, order = ranked(ranking, weights)
    chosen = fund_by_score(sites, order, option_ids, budget)
    picks = dict(chosen.picks)
    moved = [ranked(ranking, other)[1] for other in moved_weights(weights)]
    there = lists_of(sites, option_ids, budget).inside(np.array([order, *moved]))
    close = set(np.flatnonzero((there != there[0]).any(axis=0)).tolist())
    return Listed(
        score, order, picks, chosen.spent, frozenset(close | _by_cost(sites, order, picks, budget))
    )


def ranked(ranking: Ranking, weights: Mapping[str, int]) -> tuple[Whole, Whole]:
    """(offtakes,) whole scores in billionths, and positions in order, ties as the wire has them."""
    score = np.array([weights[name] for name in ranking.criteria]) @ ranking.values_millionths
    tie_place = np.argsort(ranking.tie_order).astype(np.float64)
    return score, orders_of(score[None], tie_place)[0]


def moved_weights(weights: Mapping[str, int]) -> list[dict[str, int]]:
    """Give the weights with each up and down by 0.05; one that stands alone cannot move."""
    if len(weights) < 2:
        return []
    return [
        with_weight(weights, name, weights[name] + step)
        for name in weights
        for step in (WEIGHT_STEP, -WEIGHT_STEP)
    ]


def with_weight(weights: Mapping[str, int], name: str, thousandths: int) -> dict[str, int]:
    """Set one weight; the others share the rest in their proportion, evenly where all are 0.

    Rounded to thousandths by largest remainder, equal ones in the order of the criteria.
    """
    others = [other for other in weights if other != name]
    if not others:
        return {name: WHOLE}
    own = min(WHOLE, max(0, thousandths))
    parts = [weights[other] for other in others]
    if not sum(parts):
        parts = [1] * len(parts)
    shares = [divmod((WHOLE - own) * part, sum(parts)) for part in parts]
    short = WHOLE - own - sum(whole for whole, _ in shares)
    up = sorted(range(len(shares)), key=lambda i: -shares[i][1])[:short]
    shared = {other: shares[i][0] + (i in up) for i, other in enumerate(others)}
    return {each: own if each == name else shared[each] for each in weights}


def _by_cost(
    sites: Sequence[Site], order: Whole, picks: Mapping[int, int], budget: float
) -> set[int]:
    """Positions that a tenth more or less of their own cost would turn."""
    spent = cost_of(sites, {p: o for p, o in picks.items() if sites[p].committed})
    close = set()
    for p in order.tolist():
        site = sites[p]
        if not site.eligible or site.best_option < 0:
            continue
        cost, inside = site.cost[site.best_option], p in picks
        if fits(spent + cost * (1 + (COST_STEP if inside else -COST_STEP)), budget) != inside:
            close.add(p)
        spent += cost if inside else 0.0
    return close
