"""What do many weightings have in common, and what do they differ about?

The guide's meeting page has the definitions. All in whole numbers, so that no figure of a hall
hangs on rounding.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
Weights = tuple[int, ...]
"""Whole thousandths summing to 1000, in the order of the criteria."""
SharedOut = Callable[[Sequence[int], int], Weights]
"""Thousandths in the proportion of some numbers, in so many whole parts, by largest remainder."""
PARTS_OF_MIDDLE = 100
STEP = 50
"""Thousandths between the values a spread may end at: no phone's own weight stands there."""
LEAST_APART = 3
"""Of a site that divides a hall, at least as many fund it, and as many do not: none is alone."""
NOTHING = -1


@dataclass(frozen=True)
class Spread:
    """Where the weights of a hall lie.

    Attributes
    ----------
    middle : the median of each criterion, made to sum to 1000, in whole per cents.
    low, high : between them lie at least half of the weights of each criterion; multiples of
        `STEP` beyond the outer quarters, 0 and 1000 at the ends. They need not sum.
    """

    middle: Weights
    low: Weights
    high: Weights


@dataclass(frozen=True)
class Turn:
    """A site that some weightings fund and others do not.

    Attributes
    ----------
    position : row of the offtakes.
    count : how many weightings fund it.
    on : the criterion whose mean share differs most between those who fund it and those who do
        not; -1 where no mean differs.
    more : whether those who fund it give that criterion more.
    """

    position: int
    count: int
    on: int
    more: bool


def middle_and_spread(weightings: Whole, shared_out: SharedOut) -> Spread:
    """Give the middle of weightings and how far they lie apart.

    Parameters
    ----------
    weightings : (n, criteria) whole thousandths, n at least 1.
    """
    rising, last = np.sort(weightings, axis=0), len(weightings) - 1
    low, high = rising[last // 4], rising[-(-3 * last // 4)]
    twice = rising[last // 2] + rising[-(-last // 2)]  # the median, twice
    if not twice.any():  # each holds something else for all that counts: no middle one does
        twice = weightings.sum(axis=0)
    return Spread(
        middle=shared_out(twice.tolist(), PARTS_OF_MIDDLE),
        low=tuple(np.maximum(0, (low - 1) // STEP * STEP).tolist()),
        high=tuple(np.minimum(1000, (high // STEP + 1) * STEP).tolist()),
    )


def stays(inside: Flags) -> Flags:
    """(offtakes,) who is inside under every weighting.

    Parameters
    ----------
    inside : (n, offtakes) who is inside under each, n at least 1.
    """
    return np.asarray(inside.all(axis=0))


def turns(inside: Flags, weightings: Whole) -> tuple[Turn, ...]:
    """Give who is inside under some weightings and not under all, in the order of the offtakes.

    Parameters
    ----------
    inside : (n, offtakes).
    weightings : (n, criteria) whole thousandths.
    """
    n, count = len(inside), inside.sum(axis=0)
    some = np.flatnonzero((count > 0) & (count < n))
    given = inside[:, some].T.astype(np.int64) @ weightings  # by those who fund it, all together
    # mean of those who fund it less mean of those who do not, times how many there are of both
    differs = n * given - count[some, None] * weightings.sum(axis=0)
    on = np.abs(differs).argmax(axis=1)  # the first of equal ones
    by = np.take_along_axis(differs, on[:, None], axis=1)[:, 0]
    return tuple(
        Turn(int(p), int(count[p]), int(which) if d else NOTHING, more=bool(d > 0))
        for p, which, d in zip(some, on, by, strict=True)
    )


def dividing(turning: Sequence[Turn], weightings: int) -> tuple[Turn, ...]:
    """Give those that divide a hall of so many weightings: nobody is alone on either side."""
    most = weightings - LEAST_APART
    return tuple(each for each in turning if LEAST_APART <= each.count <= most)
