"""How are soft random fields made that have no grain and no direction?"""

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates

from .frame import HALF_HEIGHT_KM, HALF_WIDTH_KM, Floats

CELL_KM = 1.0
_MARGIN_KM = 12.0


class Field:
    """A smooth random field over the country, with mean 0 and standard deviation 1."""

    def __init__(self, rng: np.random.Generator, scale_km: float, octaves: int = 1) -> None:
        rows = int(2 * (HALF_HEIGHT_KM + _MARGIN_KM) / CELL_KM) + 1
        columns = int(2 * (HALF_WIDTH_KM + _MARGIN_KM) / CELL_KM) + 1
        total = np.zeros((rows, columns))
        for octave in range(octaves):
            sigma_cells = max(scale_km / 2**octave / CELL_KM / 2.5, 0.6)
            layer = gaussian_filter(rng.standard_normal((rows, columns)), sigma_cells, mode="wrap")
            total += layer / layer.std() * 0.52**octave
        self._values = (total - total.mean()) / total.std()

    def at(self, x_km: Floats, y_km: Floats) -> Floats:
        """Values at points of any shape."""
        row = (y_km + HALF_HEIGHT_KM + _MARGIN_KM) / CELL_KM
        column = (x_km + HALF_WIDTH_KM + _MARGIN_KM) / CELL_KM
        return np.asarray(map_coordinates(self._values, [row, column], order=3, mode="nearest"))


def smoothstep(x: Floats) -> Floats:
    """0 below 0, 1 above 1, a soft S between."""
    t = np.clip(x, 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))
