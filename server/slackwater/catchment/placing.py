"""Where on the river does an offtake stand? Geodesic lengths and snapping."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Geod
from shapely.ops import substring

WGS84 = Geod(ellps="WGS84")
DEGREE_M = 110_500.0  # least metres in a degree of latitude; bounds a search, measures nothing

REMEMBERED = 20_000
"""Lines and points that come again at every edit; what is asked of them never changes."""


@lru_cache(REMEMBERED)
def geodesic_length_m(line: shapely.LineString) -> float:
    """Length of a line of WGS84 longitudes and latitudes over the ellipsoid, two-dimensional."""
    lon, lat = shapely.get_coordinates(line).T
    return float(WGS84.line_length(lon, lat))


@lru_cache(REMEMBERED)
def snap(point: shapely.Point, line: shapely.LineString) -> tuple[float, float]:
    """Give distance in metres to the nearest point of a line, and that point's share of its length.

    The nearest point is found in an azimuthal equidistant projection centred on ``point``; the
    share is geodesic length up to it over geodesic length of the line.
    """
    flat = _around(point, line)
    here = shapely.Point(0.0, 0.0)
    distance_m = float(shapely.distance(flat, here))
    along = shapely.line_locate_point(flat, here)
    up_to = substring(flat, 0.0, along)
    lon, lat = _to_degrees(point, up_to)
    so_far_m = float(WGS84.line_length(lon, lat)) if len(lon) > 1 else 0.0
    return distance_m, min(1.0, so_far_m / geodesic_length_m(line))


def nearest_line(
    point: shapely.Point, lines: Sequence[shapely.LineString], tree: shapely.STRtree, reach_m: float
) -> tuple[int, float]:
    """Give the position of the nearest line and its distance in metres.

    Only lines whose boxes come within ``reach_m`` of the point are measured where there are any;
    else every line is. Ties go to the earlier line.
    """
    stretch = max(np.cos(np.radians(point.y)), 0.01)
    dx, dy = reach_m / (DEGREE_M * stretch), reach_m / DEGREE_M
    box = shapely.box(point.x - dx, point.y - dy, point.x + dx, point.y + dy)
    near = sorted(int(i) for i in tree.query(box)) or range(len(lines))
    here = shapely.Point(0.0, 0.0)
    distances = [(float(shapely.distance(_around(point, lines[i]), here)), i) for i in near]
    distance_m, position = min(distances)
    if distance_m > reach_m and len(near) < len(lines):
        distance_m, position = min(
            (float(shapely.distance(_around(point, line), here)), i) for i, line in enumerate(lines)
        )
    return position, float(distance_m)


def _around(centre: shapely.Point, line: shapely.LineString) -> shapely.LineString:
    """The line in metres about ``centre``: at its geodesic distance and bearing.

    That is the azimuthal equidistant projection on the ellipsoid, without the cost of setting up
    a projection for each centre.
    """
    lon, lat = shapely.get_coordinates(line).T
    bearing, _, distance_m = WGS84.inv(
        np.full(len(lon), centre.x), np.full(len(lat), centre.y), lon, lat
    )
    turned = np.radians(bearing)
    return shapely.LineString(
        np.column_stack((distance_m * np.sin(turned), distance_m * np.cos(turned)))
    )


def _to_degrees(
    centre: shapely.Point, line: shapely.LineString
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Longitudes and latitudes of a line in metres about ``centre``."""
    x, y = shapely.get_coordinates(line).T
    lon, lat, _ = WGS84.fwd(
        np.full(len(x), centre.x),
        np.full(len(y), centre.y),
        np.degrees(np.arctan2(x, y)),
        np.hypot(x, y),
    )
    return lon, lat
