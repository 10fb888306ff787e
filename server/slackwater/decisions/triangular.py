"""What may an input be whose low, value and high are known? Triangular: likeliest at its value.

Section 11 of the methods page.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
HALF, DOUBLE = 0.5, 2.0
"""An absent range, as multiples of the value (planning assumption)."""


def triangular(low: Numbers, value: Numbers, high: Numbers, share: Numbers) -> Numbers:
    """Give what a share of all draws lies below; arrays of one shape or broadcast to one.

    Parameters
    ----------
    low, value, high : with low <= value <= high; where all are equal, that is every draw.
    share : 0..1.
    """
    width = high - low
    rising = low + np.sqrt(share * width * (value - low))
    falling = high - np.sqrt((1 - share) * width * (high - value))
    drawn: Numbers = np.where(share * width <= value - low, rising, falling)
    return drawn


def even_shares(count: int) -> Numbers:
    """(count,) midpoints of as many parts of 0..1 of one size: draws without chance."""
    midpoints: Numbers = (np.arange(count) + 0.5) / count
    return midpoints
