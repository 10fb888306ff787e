"""Which places does a box touch? It spans the antimeridian where its west is above its east."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.desk.features.layer import Places
from slackwater.errors import UsageError

FURTHEST = (180.0, 90.0)
HOW = "bbox: give west,south,east,north in degrees (six numbers with heights between)"


@dataclass(frozen=True)
class Box:
    """A box in WGS84 degrees, its edges part of it."""

    west: float
    south: float
    east: float
    north: float

    def touches(self, places: Places) -> NDArray[np.bool_]:
        """(rows,) whether a place has a point in the box; what has no place is not left out."""
        parts = [(self.west, self.east)]
        if self.west > self.east:
            parts = [(self.west, FURTHEST[0]), (-FURTHEST[0], self.east)]
        touched: NDArray[np.bool_] = shapely.is_missing(places) | shapely.is_empty(places)
        for west, east in parts:
            touched |= shapely.intersects(places, _shape(west, self.south, east, self.north))
        return touched


def box_of(text: str) -> Box:
    """Read a box of four or six numbers; nothing here has a height, so heights are not compared.

    Raises
    ------
    UsageError
        Where it is no box on the earth.
    """
    try:
        numbers = [float(part) for part in text.split(",")]
    except ValueError:
        raise UsageError(HOW) from None
    if len(numbers) not in (4, 6) or not np.isfinite(numbers).all():
        raise UsageError(HOW)
    half = len(numbers) // 2
    (west, south), (east, north) = numbers[:2], numbers[half : half + 2]
    if south > north or (half == 3 and numbers[2] > numbers[5]):
        raise UsageError(f"{HOW}, the lower corner first")
    if max(abs(west), abs(east)) > FURTHEST[0] or max(abs(south), abs(north)) > FURTHEST[1]:
        raise UsageError("bbox: longitudes are from -180 to 180, latitudes from -90 to 90")
    return Box(west, south, east, north)


def _shape(west: float, south: float, east: float, north: float) -> Any:
    """Give the box as a polygon, or as the line or point it is where it has no width or height."""
    if west == east and south == north:
        return shapely.Point(west, south)
    if west == east or south == north:
        return shapely.LineString([(west, south), (east, north)])
    return shapely.box(west, south, east, north)
