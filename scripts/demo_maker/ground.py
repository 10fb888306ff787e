"""How high is the ground, once the rivers lie in it?

Each bed falls all the way to where it ends; the land near a line is drawn down (or up) to its bed,
so that the ground under every line falls along it.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.ndimage import gaussian_filter, gaussian_filter1d, map_coordinates
from shapely import get_coordinates, line_interpolate_point, line_locate_point, points, segmentize

from .frame import HALF_HEIGHT_KM, HALF_WIDTH_KM, Floats, random_stream
from .neighbours import nearest_spots
from .noise import Field, smoothstep
from .river import River
from .rivers import Network
from .terrain import Country

CELL_KM = 0.25
_LEAST_FALL_M_PER_KM = 0.12
_LEAST_FALL_OF_STREAMS_M_PER_KM = 0.26


@dataclass(frozen=True)
class Bed:
    """Height of one river's bed at distances from its head."""

    at_km: Floats
    height_m: Floats

    def height_at(self, along_km: Floats) -> Floats:
        return np.interp(along_km, self.at_km, self.height_m)


@dataclass(frozen=True)
class Ground:
    """Height and hilliness on a grid of `CELL_KM`, row 0 in the south; beds by river."""

    height_m: Floats
    hilliness: Floats
    beds: list[Bed]

    def height_at(self, x_km: Floats, y_km: Floats, smooth: bool = False) -> Floats:
        return _sample(self.height_m, x_km, y_km, 3 if smooth else 1)

    def hilliness_at(self, x_km: Floats, y_km: Floats) -> Floats:
        return _sample(self.hilliness, x_km, y_km, 1)


def _sample(values: Floats, x_km: Floats, y_km: Floats, order: Literal[1, 3]) -> Floats:
    row, column = (y_km + HALF_HEIGHT_KM) / CELL_KM, (x_km + HALF_WIDTH_KM) / CELL_KM
    return np.asarray(map_coordinates(values, [row, column], order=order, mode="nearest"))


def make_ground(country: Country, network: Network) -> Ground:
    """Beds first, from the main river up, then the land between them."""
    both = np.column_stack([country.height_m, country.hilliness])
    surface = LinearNDInterpolator(country.mesh.points_km, both)
    beds: list[Bed] = []
    for river in network.rivers:
        beds.append(_bed(river, network.rivers, beds, surface))
    x_km = np.arange(-HALF_WIDTH_KM, HALF_WIDTH_KM + CELL_KM / 2, CELL_KM)
    y_km = np.arange(-HALF_HEIGHT_KM, HALF_HEIGHT_KM + CELL_KM / 2, CELL_KM)
    grid = np.stack(np.meshgrid(x_km, y_km), axis=-1)
    on_grid = surface(grid)
    height_m = _filled_rim(on_grid[..., 0])
    hilliness = np.clip(_filled_rim(on_grid[..., 1]), 0.0, 1.0)
    land_m = _with_beds(height_m, grid, hilliness, network, beds)
    return Ground(land_m, hilliness, beds)


def _filled_rim(values: Floats) -> Floats:
    """The grid reaches a little past the net; the nearest known cell of the row stands in."""
    filled = values.copy()
    for line in [*filled, *filled.T]:
        known = np.flatnonzero(np.isfinite(line))
        if len(known):
            line[: known[0]], line[known[-1] + 1 :] = line[known[0]], line[known[-1]]
    return filled


def _bed(river: River, rivers: list[River], beds: list[Bed], surface: LinearNDInterpolator) -> Bed:
    at_km = np.linspace(0.0, river.shape.length, max(int(river.shape.length / 0.1), 8) + 1)
    left_km = at_km[-1] - at_km
    end_m = 0.0
    if river.joins >= 0:
        end_m = _height_on(rivers[river.joins], beds[river.joins], river.line_km[-1])
    if river.leaves >= 0:
        start_m = _height_on(rivers[river.leaves], beds[river.leaves], river.line_km[0])
        return Bed(at_km, end_m + (start_m - end_m) * left_km / at_km[-1])
    under_m = surface(get_coordinates(line_interpolate_point(river.shape, at_km)))[:, 0]
    under_m = np.where(np.isfinite(under_m), under_m, end_m)
    falling = np.minimum.accumulate(under_m)
    rising = np.maximum.accumulate(under_m[::-1])[::-1]
    above_m = np.maximum(gaussian_filter1d(0.5 * (falling + rising), 25.0) - end_m, 0.0)
    # A stream must not drop off a ledge into the one it joins.
    above_m *= np.minimum(left_km / 9.0, 1.0)
    least = _LEAST_FALL_M_PER_KM if river.joins < 0 else _LEAST_FALL_OF_STREAMS_M_PER_KM
    return Bed(at_km, end_m + above_m + least * left_km)


def _height_on(river: River, bed: Bed, point_km: Floats) -> float:
    along = line_locate_point(river.shape, points(point_km))
    return float(bed.height_at(np.array([along]))[0])


def _with_beds(
    height_m: Floats, grid: Floats, hilliness: Floats, network: Network, beds: list[Bed]
) -> Floats:
    """The plain is what its rivers have laid down; the hills are lifted to meet their beds."""
    spots, heights = [], []
    for river, bed in zip(network.rivers, beds, strict=True):
        dense = get_coordinates(segmentize(river.shape, 0.1))
        spots.append(dense)
        heights.append(bed.height_at(line_locate_point(river.shape, points(dense))))
    at, bed_of_spot = np.vstack(spots), np.concatenate(heights)
    gap_km, nearest = nearest_spots(at, grid)
    bed_m = bed_of_spot[nearest]
    lift_of_spot = bed_of_spot - _sample(height_m, at[:, 0], at[:, 1], 1)
    wide = 5.0 / CELL_KM
    dunes_m = 0.7 * Field(random_stream(8), 6.0, 2).at(grid[..., 0], grid[..., 1])
    # Far from any river the nearest bed may jump from one river's to another's.
    far = smoothstep((gap_km - 5.0) / 15.0)
    laid_m = gaussian_filter(bed_m, wide) * (1.0 - far) + gaussian_filter(bed_m, 4.0 * wide) * far
    plain_m = laid_m + 1.7 * np.log1p(0.6 * gap_km) + dunes_m
    hills_m = height_m + gaussian_filter(lift_of_spot[nearest], 2.5 * wide)
    land_m = plain_m + (hills_m - plain_m) * smoothstep((hilliness - 0.02) / 0.3)
    valley_km = 2.6 - 1.9 * smoothstep(hilliness / 0.5)
    away = smoothstep(np.maximum(gap_km - 0.1, 0.0) / valley_km)
    return np.asarray(bed_m + (land_m - bed_m) * away)
