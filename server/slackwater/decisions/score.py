"""How do risk, overlap and cost add to a score, and in which order do the offtakes stand?

Section 9 of the methods page. Criteria and weights are whole numbers before they are multiplied,
so that server and browser agree to the last place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]

MILLION = 1_000_000
DECADES = 3
EQUAL = 1e-9
"""Losses and costs this close, relative, are the same: sums in another order must not decide."""


def risk_values(loss_adults: Numbers) -> Numbers:
    """(offtakes,) ``max(0, 1 + log10(loss / largest) / 3)``, 0 where the loss is 0.

    Three decades, since published taking per volume runs over two (Hutchison et al. 2022).
    """
    values = np.zeros(len(loss_adults))
    taking = loss_adults > 0
    if taking.any():
        largest = loss_adults.max()
        values[taking] = np.maximum(0.0, 1 + np.log10(loss_adults[taking] / largest) / DECADES)
    return values


def cost_values(life_cycle_cost: Numbers) -> Numbers:
    """(offtakes,) ``1 - ln(c / least) / ln(most / least)``; NaN (no option) is 0, all equal 1."""
    values = np.zeros(len(life_cycle_cost))
    priced = ~np.isnan(life_cycle_cost)
    if priced.any():
        least, most = life_cycle_cost[priced].min(), life_cycle_cost[priced].max()
        if most <= least * (1 + EQUAL):
            values[priced] = 1.0
        else:
            values[priced] = 1 - np.log(life_cycle_cost[priced] / least) / np.log(most / least)
    return values


def column_values(column: Numbers, worst: float, best: float) -> Numbers:
    """(offtakes,) linear from 0 at ``worst`` to 1 at ``best``, clamped; NaN (empty) is 0."""
    return np.nan_to_num(np.clip((column - worst) / (best - worst), 0.0, 1.0), nan=0.0)


def to_millionths(values: Numbers) -> Whole:
    """Round half up to whole millionths."""
    return np.floor(MILLION * values + 0.5).astype(np.int64)


def to_thousandths(weights: Sequence[float]) -> Whole:
    """Give whole thousandths summing to 1000 by largest remainder, equal ones in order."""
    return shared_out(weights, 1000)


def shared_out(weights: Sequence[float], parts: int) -> Whole:
    """Share whole parts out in proportion by largest remainder, equal ones in order."""
    written = [Fraction(repr(float(weight))) for weight in weights]  # as decimals: ties stay ties
    exact = [parts * weight / sum(written) for weight in written]
    whole = [int(share) for share in exact]
    remainder = [share - floor for share, floor in zip(exact, whole, strict=True)]
    by_remainder = sorted(range(len(exact)), key=lambda i: (-remainder[i], i))
    for position in by_remainder[: parts - sum(whole)]:
        whole[position] += 1
    return np.array(whole, np.int64)


@dataclass(frozen=True)
class Ranking:
    """Offtakes in order.

    Attributes
    ----------
    criteria : names, in the order of the rows below.
    values_millionths : (criteria, offtakes) int64.
    weights_thousandths : (criteria,) int64.
    score : (offtakes,) integer sum / 1e9.
    order : (offtakes,) positions, best first.
    tie_order : (offtakes,) positions by larger loss, then id; decides between equal scores.
    """

    criteria: tuple[str, ...]
    values_millionths: Whole
    weights_thousandths: Whole
    score: Numbers
    order: Whole
    tie_order: Whole

    @property
    def rank(self) -> Whole:
        """(offtakes,) 1 for the first."""
        ranks = np.empty(len(self.order), np.int64)
        ranks[self.order] = np.arange(1, len(self.order) + 1)
        return ranks


def order_by_loss(loss_adults: Numbers, ids: Sequence[str]) -> list[int]:
    """Positions by larger loss, then id; losses that run on within 1e-9 relative are equal."""
    falling = sorted(range(len(ids)), key=lambda i: -loss_adults[i])
    level = np.zeros(len(ids), np.int64)
    for above, below in pairwise(falling):
        same = loss_adults[below] >= loss_adults[above] * (1 - EQUAL)
        level[below] = level[above] + (not same)
    return sorted(falling, key=lambda i: (level[i], ids[i]))


def rank_offtakes(
    criteria: Sequence[tuple[str, float, Numbers]], loss_adults: Numbers, ids: Sequence[str]
) -> Ranking:
    """Score and rank.

    Parameters
    ----------
    criteria : (name, weight, values 0..1 (offtakes,)), in the order ties of weights are broken.
    loss_adults : (offtakes,); larger goes first between equal scores, then the id.
    """
    values = np.array([to_millionths(v) for _, _, v in criteria])
    weights = to_thousandths([weight for _, weight, _ in criteria])
    whole = weights @ values
    tie_order = order_by_loss(loss_adults, ids)
    order = sorted(tie_order, key=lambda i: -whole[i])
    return Ranking(
        criteria=tuple(name for name, _, _ in criteria),
        values_millionths=values,
        weights_thousandths=weights,
        score=whole / 1e9,
        order=np.array(order, np.int64),
        tie_order=np.array(tie_order, np.int64),
    )
