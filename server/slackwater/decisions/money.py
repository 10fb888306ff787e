"""Round sums of money: three figures, as people say them."""

from __future__ import annotations

from math import floor, log10

FIGURES = 3


def money_step(amount: float) -> float:
    """Give the step between round sums at an amount, at least 1."""
    return max(1.0, 10.0 ** (floor(log10(amount)) - FIGURES + 1)) if amount > 0 else 1.0
