"""How do signs that share a place stand on paper? Side by side around it, none upon another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import ceil, sqrt

import numpy as np

from slackwater.reports.ground import Numbers

GAP_MM = 0.3


def side_by_side(places_mm: Numbers, radii_mm: Sequence[float]) -> Numbers:
    """Give (n, 2) places in which those that were the same stand in rows around the old one.

    Parameters
    ----------
    places_mm : (n, 2) middles of signs.
    radii_mm : n radii; the largest of a place sets how far apart its signs stand.
    """
    sharing: dict[tuple[float, float], list[int]] = defaultdict(list)
    for at, (x, y) in enumerate(places_mm.tolist()):
        sharing[x, y].append(at)
    moved = places_mm.copy()
    for together in sharing.values():
        if len(together) > 1:
            step = 2 * max(radii_mm[at] for at in together) + GAP_MM
            moved[together] += step * _in_rows(len(together))
    return moved


def _in_rows(count: int) -> Numbers:
    """(count, 2) steps from the middle of a block about as wide as high, filled row by row."""
    wide = ceil(sqrt(count))
    high = ceil(count / wide)
    column, row = np.arange(count) % wide, np.arange(count) // wide
    in_row = np.where(row == high - 1, count - wide * (high - 1), wide)
    return np.column_stack((column - (in_row - 1) / 2, row - (high - 1) / 2))
