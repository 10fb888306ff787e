"""What do all parts of the trial share: words for where things come from, seeds, channel laws?"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

SYNTHETIC = "synthetic: made up to try the product on a real network; no data of this river"
PLANNING = "synthetic planning assumption, without a source"
SEED = 102008
GAUGE_ID = "US_09447000"
GAUGE_AREA_KM2 = 1600.0
"""Land draining to the gauge: assumed, the package does not say. It turns areas into flows."""

SLOPE_FLOOR = 1e-4
"""Slopes at or below this are taken for it: Manning needs a fall."""


def random_stream(part: int) -> np.random.Generator:
    """A stream of its own for each part, so that a change of one leaves the others as they were."""
    return np.random.default_rng([SEED, part])


def width_m(area_km2: Numbers) -> Numbers:
    """Width by drainage area, `2.5 A ** 0.35` (hydraulic geometry; planning assumption)."""
    return np.round(2.5 * area_km2**0.35, 2)


def depth_m(area_km2: Numbers) -> Numbers:
    """Depth at low level by drainage area, `0.25 A ** 0.2` (planning assumption)."""
    return np.round(0.25 * area_km2**0.2, 2)


def manning_n(slope: Numbers) -> Numbers:
    """Rougher where steeper than 2 % (planning assumption)."""
    return np.where(slope > 0.02, 0.05, 0.035)
