"""How is a field day drawn on paper? Rivers, roads, the way from stop to stop, numbered stops."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from slackwater.reports.ground import Dot, Ground, Numbers, River, Town, sheet_for
from slackwater.reports.map_drawing import MARGIN_MM, MapDrawing, draw_map
from slackwater.reports.signs import Sign

AROUND_SHARE, LEAST_AROUND_DEG = 0.12, 0.02
"""What lies around the stops is shown too, at least so far."""
STOP_MM, DEPOT_MM, FINEST_MM = 2.1, 1.6, 0.1


@dataclass(frozen=True, eq=False)
class DayGround:
    """What the map of a day shows.

    Attributes
    ----------
    roads : (points, 2) longitude and latitude of each.
    start : where the day starts and ends; None where that is not known.
    stops : name and place of each in the order of the day.
    """

    rivers: tuple[River, ...]
    roads: tuple[Numbers, ...]
    towns: tuple[Town, ...]
    start: tuple[float, float] | None
    stops: tuple[tuple[str, float, float], ...]


@dataclass(frozen=True)
class NumberedStop:
    """A stop on the map, in millimetres."""

    number: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class DayDrawing:
    """The map of a day, ready for its template.

    Attributes
    ----------
    straight : no roads are known, so the way is drawn thin and dashed, and said to be no road.
    """

    ground: MapDrawing
    roads: tuple[str, ...]
    way: str
    straight: bool
    stops: tuple[NumberedStop, ...]
    start: tuple[float, float] | None
    alternative: str


def draw_day(day: DayGround, width_mm: float, most_height_mm: float) -> DayDrawing | None:
    """Draw the map of a day as large as it fits; None where no stop has a place."""
    if not day.stops:
        return None
    box = _box(day)
    dots = tuple(
        Dot(name, Sign.INSIDE, number, lon, lat)
        for number, (name, lon, lat) in enumerate(day.stops, 1)
    )
    seen = tuple(
        River(river.name, part, river.flow_m3s)
        for river in day.rivers
        for part in _parts(river.points, box)
    )
    corners = River("", np.array([[box[0], box[1]], [box[2], box[3]]]), 0.0)
    whole = Ground((*seen, corners), day.towns, dots)
    drawing = draw_map(whole, width_mm, most_height_mm)
    sheet = sheet_for(whole.bounds, width_mm, most_height_mm, MARGIN_MM)
    at = {sign.code: (sign.x_mm, sign.y_mm) for sign in drawing.signs}
    stops = tuple(
        NumberedStop(number, *at[name]) for number, (name, _, _) in enumerate(day.stops, 1)
    )
    start = None
    if day.start is not None:
        x, y = sheet.place(np.array([day.start]))[0].tolist()
        start = (x, y)
    way = [(each.x_mm, each.y_mm) for each in stops]
    way = [start, *way, start] if start else way
    return DayDrawing(
        ground=_of_stops(drawing),
        roads=tuple(
            _path(shapely.get_coordinates(
                shapely.LineString(sheet.place(part)).simplify(FINEST_MM)))
            for road in day.roads
            for part in _parts(road, box)
        ),
        way=_path(np.array(way)),
        straight=not day.roads,
        stops=stops,
        start=start,
        alternative=f"Map of {len(stops)} stops in their order, with rivers and roads.",
    )  # fmt: skip


def _box(day: DayGround) -> tuple[float, float, float, float]:
    places = [(lon, lat) for _, lon, lat in day.stops]
    if day.start is not None:
        places.append(day.start)
    (west, south), (east, north) = np.min(places, axis=0), np.max(places, axis=0)
    around = max(AROUND_SHARE * max(east - west, north - south), LEAST_AROUND_DEG)
    return (west - around, south - around, east + around, north + around)


def _parts(line: Numbers, box: tuple[float, float, float, float]) -> Sequence[Numbers]:
    """Give the parts of a line inside a box."""
    if len(line) < 2:
        return ()
    inside = shapely.clip_by_rect(shapely.LineString(line), *box)
    parts = [shapely.get_coordinates(part) for part in shapely.get_parts(inside)]
    return [part for part in parts if len(part) > 1]


def _of_stops(drawing: MapDrawing) -> MapDrawing:
    """Take out the line that only kept the corners, first as it has no flow; make room for numbers.

    A stop's disc is wider than an offtake's, so its code stands further off.
    """
    at = {sign.code: sign.x_mm for sign in drawing.signs}
    wider = STOP_MM - drawing.signs[0].radius_mm
    names = tuple(
        replace(name, x_mm=name.x_mm + (wider if name.x_mm > at[name.text] else -wider))
        if name.kind == "code"
        else name
        for name in drawing.names
    )
    return replace(drawing, rivers=drawing.rivers[1:], names=names)


def _path(points: Numbers) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points.tolist())
