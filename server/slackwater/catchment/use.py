"""How much of its capacity does an offtake use month by month, where nothing was metered?"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def monthly_use(
    given: NDArray[np.float64], kind: NDArray[np.object_]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Complete the twelve shares of each offtake.

    With some of the twelve filled an empty one is 0. With none: month by month the mean over the
    offtakes of its kind that fill all twelve; none of its kind: of all kinds.

    Parameters
    ----------
    given : (offtakes, 12) NaN where empty.
    kind : (offtakes,) kind of intake.

    Returns
    -------
    use_share : (offtakes, 12); a row of NaN where there is no way to it.
    assumed : (offtakes,) bool, true where the row was borrowed.
    """
    filled = ~np.isnan(given)
    whole = filled.all(axis=1)
    bare = filled.sum(axis=1) == 0
    use_share = np.where(filled, given, 0.0)
    for row in np.flatnonzero(bare):
        alike = whole & (kind == kind[row])
        lenders = alike if alike.any() else whole
        use_share[row] = given[lenders].mean(axis=0) if lenders.any() else np.nan
    return use_share, bare
