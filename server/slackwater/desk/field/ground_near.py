"""What of the map does a phone need? Rivers, roads and towns along the way, nothing further off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.desk.coded_lines import code_lines, code_places

NEAR_DEG = 0.04
"""About 4 km beside the way from stop to stop."""
TOWNS_NEAR_DEG = 0.15
SIMPLER_DEG = 5e-5
"""About 5 m: finer than a phone shows of a day's drive."""

LonLat = tuple[float, float]


def place_of(catchment: Catchment, code: str) -> LonLat | None:
    """Give where an offtake is: its own place, else where it lies along its reach's line."""
    offtakes, reaches = catchment.table("offtakes"), catchment.table("reaches")
    row = offtakes.index.get(code)
    if row is None:
        return None
    if offtakes.geometry is not None and offtakes.geometry[row] is not None:
        return offtakes.geometry[row].x, offtakes.geometry[row].y
    reach = int(catchment.reach_index[row])
    if reaches.geometry is None or reaches.geometry[reach] is None:
        return None
    share = float(catchment.chainage_m[row] / catchment.length_m[reach])
    point = shapely.line_interpolate_point(reaches.geometry[reach], share, normalized=True)
    return point.x, point.y


def ground_near(catchment: Catchment, places: Sequence[LonLat]) -> dict[str, Any]:
    """Give the map about some places and the ways between them, as coded lines."""
    way = _way(places)
    towns, depots = catchment.table("places"), catchment.table("depots")
    near = shapely.buffer(way, TOWNS_NEAR_DEG)
    return {
        "bounds": list(shapely.bounds(near).tolist()) if places else None,
        "rivers": _lines_near(catchment, "reaches", way),
        "roads": _lines_near(catchment, "roads", way),
        "towns": _points_near(towns.geometry, towns.text("name"), near),
        "depots": _points_near(depots.geometry, depots.text("name"), None),
    }


def _way(places: Sequence[LonLat]) -> Any:
    if len(places) < 2:
        return shapely.MultiPoint(places)
    return shapely.LineString(places)


def _lines_near(catchment: Catchment, table: str, way: Any) -> dict[str, Any]:
    """Give the parts of lines that lie near the way, with their names."""
    lines = catchment.table(table)
    if lines.geometry is None or shapely.is_empty(way):
        return {**asdict(code_lines(None)), "name": []}
    cut = shapely.intersection(lines.geometry, shapely.buffer(way, NEAR_DEG))
    there = np.array([part is not None and not shapely.is_empty(part) for part in cut], bool)
    coded = code_lines([shapely.simplify(part, SIMPLER_DEG) for part in cut[there]])
    return {**asdict(coded), "name": lines.text("name")[there].tolist()}


def _points_near(points: NDArray[np.object_] | None, names: Any, near: Any) -> dict[str, Any]:
    if points is None:
        return {"lon": [], "lat": [], "name": []}
    there = np.array([each is not None for each in points], bool)
    if near is not None:
        there &= shapely.intersects(points, near)
    at = shapely.get_coordinates(points[there])
    return {**code_places(at[:, 0], at[:, 1]), "name": names[there].tolist()}
