"""Who is funded under which weights? Sets asked for lately are kept, and what many have in common.

Phones of one hall try the same weights again and again.
"""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

import numpy as np

from slackwater.meeting.phones import Phone
from slackwater.meeting.snapshot import LEAST_TRIED, Basis, Figures
from slackwater.meeting.weightings import (
    Flags,
    Weights,
    dividing,
    middle_and_spread,
    stays,
    turns,
)

MOST_SETS = 512
Known = tuple[Weights | None, ...]


class Sets:
    """Sets by their weights, the latest few; any thread may ask."""

    def __init__(self, basis: Basis) -> None:
        self._basis = basis
        self._kept: OrderedDict[Weights, Flags] = OrderedDict()
        self._common: tuple[Known, Figures | None] = ((), None)
        self._lock = Lock()

    def inside_of(self, weights: Weights) -> Flags:
        """(offtakes,) who is funded; nobody can write into it.

        Two who ask at once may both work it out; neither waits for the other.
        """
        with self._lock:
            kept = self._kept.get(weights)
            if kept is not None:
                self._kept.move_to_end(weights)
                return kept
        inside = np.array(self._basis.inside_of(weights), np.bool_)
        inside.flags.writeable = False
        with self._lock:
            self._kept[weights] = inside
            while len(self._kept) > MOST_SETS:
                self._kept.popitem(last=False)
        return inside

    def in_common(self, tried: tuple[Phone, ...]) -> Figures | None:
        """Give what phones that set weights have in common; None of too few. The latest is kept."""
        weightings = tuple(each.weights for each in tried)
        known, figures = self._common
        if known != weightings:
            figures = self._figures_of(tried)
            self._common = (weightings, figures)
        return figures

    def _figures_of(self, tried: tuple[Phone, ...]) -> Figures | None:
        if len(tried) < LEAST_TRIED:
            return None
        weightings = np.array([each.weights for each in tried], np.int64)
        inside = np.array([each.inside for each in tried], np.bool_)
        spread = middle_and_spread(weightings, self._basis.shared_out)
        middle = self.inside_of(spread.middle)
        turning = turns(inside, weightings)
        told = dividing(turning, len(tried))
        return Figures(spread, middle, stays(inside), told, len(turning) - len(told))
