"""Which of many points is nearest, and how far away?"""

import numpy as np
from scipy.spatial import cKDTree

from .frame import Floats, Ints


def nearest_spots(spots_km: Floats, from_km: Floats) -> tuple[Floats, Ints]:
    """Distance (km) and index of the nearest of `spots_km` (n, 2), for points of shape (..., 2)."""
    gap_km, index = cKDTree(spots_km).query(from_km)
    return np.asarray(gap_km, dtype=float), np.asarray(index, dtype=np.int64)
