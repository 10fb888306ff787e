"""Which screen serves each offtake best for its money?

Section 8 of the methods page.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
EQUAL = 1e-9
NONE = -1


def best_options(
    gain_adults: Numbers,
    life_cycle_cost: Numbers,
    feasible: NDArray[np.bool_],
    option_ids: Sequence[str],
) -> NDArray[np.int64]:
    """(offtakes,) position of the feasible option of highest gain per life-cycle cost, else -1.

    Only options with a gain count. Ties (within 1e-9 relative): higher gain, then id.

    Parameters
    ----------
    gain_adults, life_cycle_cost, feasible : (offtakes, options).
    """
    best = np.full(len(gain_adults), NONE, np.int64)
    for offtake, gains in enumerate(gain_adults):
        usable = np.flatnonzero(feasible[offtake] & (gains > 0))
        if not usable.size:
            continue
        worth = gains[usable] / life_cycle_cost[offtake, usable]
        level = usable[worth >= worth.max() * (1 - EQUAL)]
        level = level[gains[level] >= gains[level].max() * (1 - EQUAL)]
        best[offtake] = min(level, key=lambda o: option_ids[o])
    return best
