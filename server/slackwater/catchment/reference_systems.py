"""In which reference system are coordinates, and do they lie where it holds?"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError

WGS84 = CRS.from_epsg(4326)
MARGIN_DEGREES = 6.0
"""How far beyond the area a system was made for coordinates may still lie."""

Coordinates = NDArray[np.float64]


@lru_cache(maxsize=64)
def system_of(text: str) -> CRS | None:
    """Give the horizontal reference system a text names, None where it names none.

    Digits alone are an EPSG code.
    """
    try:
        system = CRS.from_user_input(f"EPSG:{text}" if text.isdecimal() else text)
    except CRSError:
        return None
    return system if system.is_geographic or system.is_projected else None


def to_degrees(system: CRS, coordinates: Coordinates) -> Coordinates:
    """Give (n, 2) WGS84 longitude, latitude; not finite where there is no way to it.

    Coordinates already in WGS84 are passed on untouched, digit for digit.
    """
    if system.equals(WGS84, ignore_axis_order=True):
        return coordinates
    try:
        transformer = Transformer.from_crs(system, WGS84, always_xy=True)
    except ProjError:
        return np.full_like(coordinates, np.inf)
    lon, lat = transformer.transform(coordinates[:, 0], coordinates[:, 1])
    return np.column_stack((lon, lat))


def outside(system: CRS, coordinates: Coordinates, degrees: Coordinates) -> NDArray[np.bool_]:
    """(n,) true where coordinates cannot be meant in this system.

    Degrees beyond a full turn, no way to WGS84, or more than 6 degrees outside the area the
    system was made for.
    """
    finite = np.isfinite(degrees)
    found: NDArray[np.bool_] = ~(finite[:, 0] & finite[:, 1])
    lon, lat = np.where(found, 0.0, degrees.T)
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
