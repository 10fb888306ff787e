"""How much do two seasons of the same spread overlap, one standard deviation apart?"""

from __future__ import annotations

import numpy as np
from scipy.stats import norm

from slackwater.river.overlap import overlap_coefficient

SOURCE = "Overlapping coefficient, Weitzman 1970"
WHERE = "two equal normals one standard deviation apart: 2 Phi(-1/2) = 0.6171"
KNOWN = "computed from the stated formula"


def test_two_normals(agrees) -> None:
    """Day by day, with a standard deviation of 30 days, 0.6171.

    Four places are given; days put at most half a day in 30 the wrong side, under 1e-4.
    """
    days = np.arange(365)
    seasons = norm.pdf(days, 150, 30)[None, :], norm.pdf(days, 180, 30)[None, :]
    agrees("overlap", 0.6171, float(overlap_coefficient(*seasons)[0]), within=1.5e-4)
