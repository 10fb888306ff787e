"""Is the incomplete gamma function of the kernels the one behind a printed table?"""

from __future__ import annotations

import numpy as np
import pytest

from tests.kernel_access import gammas_of

SOURCE = "Table of the chi-square distribution, as in Abramowitz & Stegun, table 26.8"
WHERE = "95 % points for 2, 4, 6, 8, 10 degrees of freedom; P(k, x / 2) = 0.95 for 2k of them"
KNOWN = "from memory"

POINTS = {1: 5.991, 2: 9.488, 3: 12.592, 4: 15.507, 5: 18.307}


@pytest.mark.parametrize("k", POINTS)
def test_95_per_cent_points(k: int, agrees) -> None:
    """P(k, x / 2) at the printed point is 0.95.

    Three places of x move P by at most 0.025 x 0.0005 = 1.3e-5.
    """
    ours = float(gammas_of(np.array([POINTS[k] / 2]), k)[k - 1, 0])
    agrees(f"P({k}, {POINTS[k]} / 2)", 0.95, ours, within=2e-5)
