"""Where on the river does an offtake stand? Geodesic lengths and snapping."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from pyproj import Geod, Transformer
from shapely.ops import substring

WGS84 = Geod(ellps="WGS84")
DEGREE_M = 110_500.0  # least metres in a degree of latitude; bounds a search, measures nothing


def geodesic_length_m(line: shapely.LineString) -> float:
    """Length of a line of WGS84 longitudes and latitudes over the ellipsoid, two-dimensional."""
    lon, lat = shapely.get_coordinates(line).T
    return float(WGS84.line_length(lon, lat))


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
    to_degrees = _projection(point, inverse=True)
    coordinates = shapely.get_coordinates(up_to)
    lon, lat = to_degrees.transform(coordinates[:, 0], coordinates[:, 1])
    so_far_m = float(WGS84.line_length(lon, lat)) if len(coordinates) > 1 else 0.0
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
        everything = [(shapely.distance(_around(point, line), here), i) for i, line in enumerate(lines)]
        distance_m, position = min(everything)
    return position, float(distance_m)


def _projection(centre: shapely.Point, *, inverse: bool = False) -> Transformer:
    """Azimuthal equidistant on WGS84, centred."""
    flat = f"+proj=aeqd +lat_0={centre.y!r} +lon_0={centre.x!r} +datum=WGS84 +units=m"
    ends = (flat, "EPSG:4326") if inverse else ("EPSG:4326", flat)
    return Transformer.from_crs(*ends, always_xy=True)


def _around(centre: shapely.Point, line: shapely.LineString) -> shapely.LineString:
    """The line in metres about ``centre``."""
    coordinates = shapely.get_coordinates(line)
    x, y = _projection(centre).transform(coordinates[:, 0], coordinates[:, 1])
    return shapely.LineString(np.column_stack((x, y)))
