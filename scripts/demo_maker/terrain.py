"""What shape has the land, before and after ten thousand invented centuries of rain?

Hills rise in the east and south-east, water cuts them (stream power, solved downstream first),
and a plain slopes gently to a lake in the west.
"""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicSpline, LinearNDInterpolator, NearestNDInterpolator

from .frame import Bools, Floats, random_stream
from .mesh import Mesh, make_mesh
from .neighbours import nearest_spots
from .noise import Field, smoothstep
from .routing import Drainage, accumulate, drain

LAKE_KM = (-112.0, 21.0)
_AXIS_KM = np.array(
    [[-112, 21], [-75, 22], [-35, 10], [5, 18], [40, 2], [75, -18], [110, -30], [150, -58]],
    dtype=float,
)


@dataclass(frozen=True)
class Country:
    """The net, its height, how hilly it is (0 plain, 1 hills), its drainage and its rain."""

    mesh: Mesh
    height_m: Floats
    hilliness: Floats
    runoff: Floats
    is_end: Bools
    drainage: Drainage


class _Design:
    """The fields that say where hills rise and where the trough of the river lies."""

    def __init__(self) -> None:
        rng = random_stream(1)
        self._broad = Field(rng, 60.0, octaves=2)
        self._warp = Field(rng, 45.0, octaves=3)
        self._rough = Field(rng, 9.0, octaves=4)
        self._lake = Field(rng, 11.0, octaves=2)
        knots = np.r_[0, np.cumsum(np.hypot(*np.diff(_AXIS_KM, axis=0).T))]
        along = np.arange(0.0, knots[-1], 0.5)
        self._along_km = along
        self._axis_km = CubicSpline(knots, _AXIS_KM)(along)

    def hilliness(self, xy: Floats) -> Floats:
        x, y = xy.T
        warp = 13.0 * self._warp.at(x, y)
        inland = x * 0.88 - y * 0.47 + warp
        east = smoothstep((inland - 45.0) / 48.0) * (
            1.0 - 0.7 * smoothstep((inland - 106.0) / 40.0)
        )
        north = 0.42 * np.exp(-(((y - 74.0 + 0.8 * warp + 0.10 * x) / 15.0) ** 2))
        south = 0.40 * np.exp(-(((y + 72.0 - 0.8 * warp + 0.04 * x) / 15.0) ** 2))
        return np.asarray(np.clip(np.maximum(east, np.maximum(north, south)), 0.0, 1.0))

    def is_lake(self, xy: Floats) -> Bools:
        x, y = xy.T
        across = np.hypot((x - LAKE_KM[0]) / 8.5, (y - LAKE_KM[1]) / 13.0)
        return np.asarray(across + 0.24 * self._lake.at(x, y) < 1.0)

    def first_height_m(self, xy: Floats) -> Floats:
        x, y = xy.T
        off_axis_km, nearest = nearest_spots(self._axis_km, xy)
        west = smoothstep((-LAKE_KM[0] - 14.0 - (x - 2 * LAKE_KM[0])) / 22.0)
        return np.asarray(
            0.30 * self._along_km[nearest]
            + 0.42 * off_axis_km
            + 7.0 * self._broad.at(x, y)
            + 2.2 * self._rough.at(x, y)
            + 12.0 * west
            - 1.3 * np.maximum(np.abs(y) - 74.0, 0.0)
            - 1.1 * np.clip(x * 0.92 - y * 0.39 - 112.0, 0.0, 30.0)
            + 40.0 * self.hilliness(xy)
        )

    def rise_m(self, xy: Floats) -> Floats:
        """Uplift in one step of time: a hundred times more under the hills."""
        x, y = xy.T
        hills = self.hilliness(xy)
        uneven = np.exp(0.45 * self._broad.at(x, y) + 0.18 * self._rough.at(x, y))
        return np.asarray(0.03 + 62.0 * hills**1.6 * uneven)


def _wear(mesh: Mesh, height_m: Floats, design: _Design, is_end: Bools, steps: int) -> Floats:
    """Uplift and cutting; the plain is cut far less than the hills, being fed with their sand."""
    hills = design.hilliness(mesh.points_km)
    rise, cutting = design.rise_m(mesh.points_km), 0.035 + 0.75 * hills**0.8
    for _ in range(steps):
        drainage = drain(mesh, height_m, is_end)
        area_km2 = accumulate(drainage, np.full(len(height_m), mesh.cell_km2))
        gap_km = np.hypot(*(mesh.points_km - mesh.points_km[drainage.receiver]).T)
        pull = cutting * area_km2**0.45 / np.where(gap_km > 0, gap_km, 1.0)
        raised = np.where(is_end, height_m, height_m + 0.5 * rise)
        new, pulls, below = raised.tolist(), (0.5 * pull).tolist(), drainage.receiver.tolist()
        for point in drainage.order.tolist():
            if below[point] != point:
                new[point] = (new[point] + pulls[point] * new[below[point]]) / (1 + pulls[point])
        height_m = np.array(new)
    return height_m


def make_country() -> Country:
    """Wear a coarse net first, then a fine one, which only has to add detail."""
    design = _Design()
    coarse = make_mesh(random_stream(2), 1.5)
    fine = make_mesh(random_stream(3), 0.75)
    height_m = design.first_height_m(coarse.points_km)
    lake = design.is_lake(coarse.points_km)
    height_m = _wear(coarse, np.where(lake, 0.0, height_m), design, lake | coarse.on_rim, 32)
    linear = LinearNDInterpolator(coarse.points_km, height_m)(fine.points_km)
    nearest = NearestNDInterpolator(coarse.points_km, height_m)(fine.points_km)
    lake = design.is_lake(fine.points_km)
    hills = design.hilliness(fine.points_km)
    shaken = np.where(np.isnan(linear), nearest, linear)
    shaken += random_stream(4).standard_normal(len(shaken)) * (0.15 + 6.0 * hills)
    is_end = lake | fine.on_rim
    height_m = _wear(fine, np.where(lake, 0.0, shaken), design, is_end, 7)
    return Country(
        mesh=fine,
        height_m=height_m,
        hilliness=hills,
        runoff=0.16 + 0.84 * hills**0.9,
        is_end=is_end,
        drainage=drain(fine, height_m, is_end),
    )
