"""In which reference system are coordinates, and do they lie where it holds?"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError

WGS84 = CRS.from_epsg(4326)
MARGIN_DEGREES = 6.0
"""How far beyond the area a system was made for coordinates may still lie."""

Coordinates = NDArray[np.float64]


@lru_cache(maxsize=64)
def system_of(text: str) -> CRS | None:
    """Give the reference system a text names, None where it names none."""
    try:
        return CRS.from_user_input(text)
    except CRSError:
        return None


def to_degrees(system: CRS, coordinates: Coordinates) -> Coordinates:
    """Give (n, 2) WGS84 longitude, latitude; not finite where there is no way to it.

    Coordinates already in WGS84 are passed on untouched, digit for digit.
    """
    if system.equals(WGS84, ignore_axis_order=True):
        return coordinates
    transformer = Transformer.from_crs(system, WGS84, always_xy=True)
    lon, lat = transformer.transform(coordinates[:, 0], coordinates[:, 1])
    return np.column_stack((lon, lat))


def outside(system: CRS, coordinates: Coordinates, degrees: Coordinates) -> NDArray[np.bool_]:
    """(n,) true where coordinates cannot be meant in this system.

    Degrees beyond a full turn, no way to WGS84, or more than 6 degrees outside the area the
    system was made for.
    """
    found = ~np.isfinite(degrees).all(axis=1)
    lon, lat = degrees[:, 0], degrees[:, 1]
    found |= (np.abs(lon) > 180) | (np.abs(lat) > 90)
    if system.is_geographic:
        found |= (np.abs(coordinates[:, 0]) > 180) | (np.abs(coordinates[:, 1]) > 90)
    area = system.area_of_use
    if area is not None:
        width = (area.east - area.west) % 360 or 360.0
        east_of_west = (lon - area.west + MARGIN_DEGREES) % 360
        if width + 2 * MARGIN_DEGREES < 360:
            found |= east_of_west > width + 2 * MARGIN_DEGREES
        found |= (lat < area.south - MARGIN_DEGREES) | (lat > area.north + MARGIN_DEGREES)
    return found


def look_like_degrees(system: CRS, coordinates: Coordinates) -> bool:
    """Whether all coordinates of a projected system are so small that degrees are meant."""
    if not system.is_projected or not len(coordinates):
        return False
    x, y = np.abs(coordinates).T
    return bool((x <= 180).all() and (y <= 90).all())
