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
SharedOut = Callable[[Sequence[int]], Weights]
"""Whole thousandths in the proportion of some numbers, by largest remainder."""
QUARTERS = 4
LOW, MIDDLE, HIGH = 1, 2, 3
NOTHING = -1


@dataclass(frozen=True)
class Spread:
    """Where the weights of a hall lie.

    Attributes
    ----------
    middle : the median of each criterion, made to sum to 1000.
    low, high : 25th and 75th percentile of each criterion in thousandths; they need not sum.
    """

    middle: Weights
    low: tuple[float, ...]
    high: tuple[float, ...]


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
    low, middle, high = (_quarter(weightings, which) for which in (LOW, MIDDLE, HIGH))
    if not middle.any():  # each holds something else for all that counts: no middle one does
        middle = weightings.sum(axis=0)
    return Spread(
        middle=shared_out(middle.tolist()),
        low=tuple((low / QUARTERS).tolist()),
        high=tuple((high / QUARTERS).tolist()),
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


def _quarter(weightings: Whole, which: int) -> Whole:
    """(criteria,) the first, second or third quarter's value times 4; linear between two."""
    falls = which * (len(weightings) - 1)
    at, past = divmod(falls, QUARTERS)
    rising = np.sort(weightings, axis=0)
    above = rising[min(at + 1, len(rising) - 1)]
    return np.asarray(rising[at] * (QUARTERS - past) + above * past)
