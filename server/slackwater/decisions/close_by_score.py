"""Which sites does the list by score fund, or pass over, by a little?

Section 11 of the methods page: each weight up or down by 0.05, the others scaled; the site's cost
or gain up or down by 10 %. A changed cost is that of every option of the site, so its best option
stays; it moves the cost criterion, rank and whether it fits. A changed gain changes the loss alike
and moves the risk criterion and the order between equal scores; overlap stays.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.close_calls import CHEAPER, DEARER, LESS, MORE, TENTH, CloseCall
from slackwater.decisions.score import (
    Ranking,
    cost_values,
    risk_values,
    to_millionths,
    to_thousandths,
)
from slackwater.decisions.weightings import Lists, orders_of

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
WEIGHT_STEP = 0.05
AT_ONCE = 64


def close_by_score(
    lists: Lists,
    ranking: Ranking,
    loss_adults: Numbers,
    life_cycle_cost: Numbers,
    done: Callable[[int], None],
) -> list[CloseCall]:
    """Give the sites that a small change puts on the other side of the line by score.

    Parameters
    ----------
    loss_adults : (offtakes,).
    life_cycle_cost : (offtakes,) of the best option, NaN where none.
    done : called with how many sites more were looked at.
    """
    values, weights = ranking.values_millionths, ranking.weights_thousandths
    tie_place = np.argsort(ranking.tie_order).astype(np.float64)
    now = lists.inside(orders_of((weights @ values)[None], tie_place))[0]
    reasons: list[list[str]] = [[] for _ in now]
    for words, moved in moved_weights(ranking.criteria, weights):
        there = lists.inside(orders_of((moved @ values)[None], tie_place))[0]
        for site in np.flatnonzero(there != now):
            reasons[site].append(words)
    asked = np.flatnonzero(np.isfinite(lists.cost))
    for first in range(0, len(asked), AT_ONCE):
        sites = asked[first : first + AT_ONCE]
        changed = _Changed(ranking, loss_adults, life_cycle_cost, sites)
        for words, there in changed.sides(lists):
            for site, inside in zip(sites, there, strict=True):
                if inside != now[site]:
                    reasons[site].append(words)
        done(len(sites))
    return [
        CloseCall(site, bool(now[site]), tuple(words))
        for site, words in enumerate(reasons)
        if words
    ]


def moved_weights(criteria: Sequence[str], thousandths: Whole) -> list[tuple[str, Whole]]:
    """Give each weight up or down by 0.05, the others scaled to leave the sum at 1.

    Where the others are all 0 they share what is left evenly.
    """
    weights = thousandths / thousandths.sum()
    moves = []
    for i, name in enumerate(criteria):
        for sign, words in ((1, "rises"), (-1, "falls")):
            own = float(np.clip(weights[i] + sign * WEIGHT_STEP, 0.0, 1.0))
            others = np.delete(weights, i)
            if own == weights[i] or not others.size:
                continue
            even = np.full(len(others), 1 / len(others))
            others = (others / others.sum() if others.sum() > 0 else even) * (1 - own)
            moved = to_thousandths(np.insert(others, i, own).tolist())
            moves.append(
                (f"the weight of {name.replace('_', ' ')} {words} by {WEIGHT_STEP}", moved)
            )
    return moves


class _Changed:
    """Lists in each of which one site's cost or gain is a tenth more or less."""

    def __init__(
        self, ranking: Ranking, loss_adults: Numbers, life_cycle_cost: Numbers, sites: Whole
    ) -> None:
        self.ranking, self.loss, self.cost, self.sites = (
            ranking, loss_adults, life_cycle_cost, sites
        )  # fmt: skip
        self.row = np.arange(len(sites))
        self.tie_place = np.argsort(ranking.tie_order).astype(np.float64)
        self.weight = dict(zip(ranking.criteria, ranking.weights_thousandths, strict=True))
        self.fixed = ranking.weights_thousandths @ ranking.values_millionths

    def sides(self, lists: Lists) -> list[tuple[str, Flags]]:
        """(sites,) for each change, in words, whether each site is funded under its own."""
        found = []
        for words, times in ((DEARER, 1 + TENTH), (CHEAPER, 1 - TENTH)):
            score = self._score("cost", cost_values, self._each(self.cost, times))
            own = times * lists.cost[self.sites]
            inside = lists.inside(orders_of(score, self.tie_place), self.sites, own)
            found.append((words, inside[self.row, self.sites]))
        for words, times in ((MORE, 1 + TENTH), (LESS, 1 - TENTH)):
            loss = self._each(self.loss, times)
            orders = orders_of(self._score("risk", risk_values, loss), self._places(times))
            found.append((words, lists.inside(orders)[self.row, self.sites]))
        return found

    def _each(self, values: Numbers, times: float) -> Numbers:
        """(sites, offtakes) the values, each row with one site's changed."""
        rows = np.tile(values, (len(self.sites), 1))
        rows[self.row, self.sites] *= times
        return rows

    def _score(self, name: str, criterion: Callable[[Numbers], Numbers], rows: Numbers) -> Whole:
        """(sites, offtakes) whole scores with one criterion worked out anew."""
        at = self.ranking.criteria.index(name)
        anew = np.array([to_millionths(criterion(row)) for row in rows])
        return self.fixed + self.weight[name] * (anew - self.ranking.values_millionths[at])

    def _places(self, times: float) -> Numbers:
        """(sites, offtakes) order between equal scores, each row with one site's loss changed."""
        places = np.tile(self.tie_place, (len(self.sites), 1))
        falling = -self.loss[self.ranking.tie_order]
        for row, site in enumerate(self.sites):
            # others stand at whole places; it goes before all whose loss is smaller
            places[row, site] = np.searchsorted(falling, -times * self.loss[site]) - 0.5
        return places
