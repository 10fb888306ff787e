"""What is remembered of the drifters that passed each offtake on each day of a season-year?

Only the days on which any passed: the rest of the year is nothing, and needs no room.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class Passers:
    """Heads that came past each offtake, in the table's order.

    Attributes
    ----------
    first_day : of the season-year, of the first column.
    heads : (offtakes, days from the first to the last on which any passed).
    days : of the whole season-year.
    """

    first_day: int
    heads: Numbers
    days: int

    def of(self, offtake: int) -> Numbers:
        """(days,) heads past one offtake, all days of the season-year."""
        whole = np.zeros(self.days)
        whole[self.first_day : self.first_day + self.heads.shape[1]] = self.heads[offtake]
        return whole


def remembered(passing: Numbers, order: Positions) -> Passers:
    """Take up what passed, (offtakes in sweep order, days); ``order`` is each one's table row."""
    some = np.flatnonzero(passing.any(axis=0))
    first, end = (int(some[0]), int(some[-1]) + 1) if len(some) else (0, 0)
    heads = np.empty((len(order), end - first))
    heads[order] = passing[:, first:end]
    return Passers(first, heads, passing.shape[1])


def within(passers: list[Passers], most_bytes: int) -> tuple[Passers, ...]:
    """Give them all where they fit, else none."""
    fits = sum(each.heads.nbytes for each in passers) <= most_bytes
    return tuple(passers) if fits else ()
