"""How far does an offtake's season fall on the drifters'? The overlapping coefficient.

Section 7 of the methods page.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


def overlap_coefficient(draw: Numbers, passing: Numbers) -> Numbers:
    """(places,) sum over days of the smaller of two shares of the year; NaN where either is 0.

    Source: overlapping coefficient, Weitzman 1970; the same number as Schoener's index (1970).
    """
    totals = draw.sum(axis=1), passing.sum(axis=1)
    usable = (totals[0] > 0) & (totals[1] > 0)
    result = np.full(len(draw), np.nan)
    shares = [
        array[usable] / total[usable, None]
        for array, total in zip((draw, passing), totals, strict=True)
    ]
    result[usable] = np.minimum(*shares).sum(axis=1)
    return result
