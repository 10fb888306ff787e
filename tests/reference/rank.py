"""The score and the order of the offtakes: the model page, section 9."""

from __future__ import annotations

from dataclasses import fields
from fractions import Fraction
from functools import cmp_to_key
from math import floor, log, log10

from .rows import number
from .screens import is_tie
from .seasons import River
from .tables import FurtherCriterion, Offtake


def risk_criterion(loss: float, largest: float) -> float:
    """The model page, section 9: three decades of loss."""
    return 0.0 if loss <= 0 else max(0.0, 1 + log10(loss / largest) / 3)


def cost_criterion(cost: float | None, costs: list[float]) -> float:
    """The model page, section 9: from the most (0) to the least (1) on a log scale; none: 0, all
    equal: 1.
    """
    if cost is None:
        return 0.0
    least, most = min(costs), max(costs)
    return 1.0 if is_tie(least, most) else 1 - log(cost / least) / log(most / least)


def further_criterion(offtake: Offtake, criterion: FurtherCriterion, river: River) -> float:
    """The model page, section 9: linear from worst (0) to best (1), clamped; empty 0.

    A column of the contract counts as understood: its default (or snapped chainage) where the cell
    is empty.
    """
    if criterion.column == "chainage_m":
        value: float | None = river.network.chainage_m[offtake.offtake_id]
    elif criterion.column in {f.name for f in fields(offtake)}:
        value = getattr(offtake, criterion.column)
    else:
        value = number(offtake.row, criterion.column)
    if value is None:
        return 0.0
    return max(0.0, min(1.0, (value - criterion.worst) / (criterion.best - criterion.worst)))


def weights_in_thousandths(weights: list[float]) -> list[int]:
    """The model page, section 9: weights summing to 1000 by largest remainder, equal ones in their
    order.

    The weights are taken as the decimals that were written, so that equal remainders are equal.
    """
    exact = [Fraction(str(weight)) for weight in weights]
    quotas = [1000 * weight / sum(exact) for weight in exact]
    whole = [floor(quota) for quota in quotas]
    by_remainder = sorted(range(len(quotas)), key=lambda n: (whole[n] - quotas[n], n))
    for n in by_remainder[: 1000 - sum(whole)]:
        whole[n] += 1
    return whole


def millionths(criterion: float) -> int:
    """The model page, section 9: rounded half up to whole millionths."""
    return floor(1e6 * criterion + 0.5)


def score_of(criteria: list[float], weights: list[int]) -> float:
    """The model page, section 9: the integer sum / 1e9."""
    return (
        sum(
            weight * millionths(criterion)
            for weight, criterion in zip(weights, criteria, strict=False)
        )
        / 1e9
    )


def in_order(scores: dict[str, float], losses: dict[str, float]) -> list[str]:
    """The model page, section 9: higher score, then larger loss, then id.

    Losses within 1e-9 relative are one loss, so that rounding in the last place never decides an
    order.
    """

    def compare(a: str, b: str) -> int:
        if scores[a] != scores[b]:
            return -1 if scores[a] > scores[b] else 1
        if not is_tie(losses[a], losses[b]):
            return -1 if losses[a] > losses[b] else 1
        return -1 if a < b else 1

    return sorted(scores, key=cmp_to_key(compare))
