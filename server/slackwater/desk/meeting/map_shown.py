"""What map does a hall look at? Rivers, towns and offtakes in millimetres of one drawing.

Offtakes stand side by side at the middle of their reach: their own places are nobody's to see.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.visibility import Viewer
from slackwater.reports.ground import Ground, Numbers, sheet_for
from slackwater.reports.map_drawing import MARGIN_MM, draw_map
from slackwater.reports.side_by_side import side_by_side

WIDTH_MM, MOST_HEIGHT_MM = 180.0, 120.0
"""A landscape frame: a wall is one."""
DOT_MM = 1.25
"""Radius of every offtake; a wall draws them all as large, so that they are seen from the back."""
DIGITS = 2


@dataclass(frozen=True)
class MapShown:
    """A map.

    Attributes
    ----------
    values : the drawing as plain values, without offtakes.
    places : code -> millimetres from the left and from above.
    """

    values: dict[str, Any]
    places: dict[str, tuple[float, float]]

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height."""
        return self.values["width_mm"], self.values["height_mm"]


def map_shown(case: CaseShown) -> MapShown:
    """Draw the map of a case for anyone."""
    ground = ground_shown(case, Viewer.PUBLIC)
    drawing = draw_map(Ground(ground.rivers, ground.towns, ()), WIDTH_MM, MOST_HEIGHT_MM)
    bar = drawing.scale_bar
    named = sorted(
        (river for river in ground.rivers if len(river.points) >= 2),
        key=lambda river: river.flow_m3s,
    )  # the order in which they are drawn
    values = {
        "width_mm": round(drawing.width_mm, DIGITS),
        "height_mm": round(drawing.height_mm, DIGITS),
        "rivers": [
            {"path": line.path, "width_mm": round(line.width_mm, DIGITS), "name": name_of(of.name)}
            for line, of in zip(drawing.rivers, named, strict=True)
        ],
        "towns": _towns(ground),
        "scale": {"words": bar.words, "mm": round(bar.mm, DIGITS)} if ground.rivers else None,
        "relief": None,
    }
    return MapShown(values, _places(case, ground))


def name_of(reach: str) -> str:
    """Give the river's name from a reach's: "Lantern River, reach 3 of 52" is of Lantern River."""
    return reach.split(", reach ", maxsplit=1)[0]


def _towns(ground: Ground) -> list[dict[str, Any]]:
    sheet = sheet_for(ground.bounds, WIDTH_MM, MOST_HEIGHT_MM, MARGIN_MM)
    at = sheet.place(np.array([[town.lon, town.lat] for town in ground.towns]).reshape(-1, 2))
    return [
        {"name": town.name, "size": town.size, "x_mm": round(x, DIGITS), "y_mm": round(y, DIGITS)}
        for town, (x, y) in zip(ground.towns, at.tolist(), strict=True)
        if 0 <= x <= sheet.width_mm and 0 <= y <= sheet.height_mm
    ]


def _places(case: CaseShown, ground: Ground) -> dict[str, tuple[float, float]]:
    """Lay offtakes out; where the data has no lines they stand in rows amid an empty sheet."""
    sheet = sheet_for(ground.bounds, WIDTH_MM, MOST_HEIGHT_MM, MARGIN_MM)
    placed = {dot.code: (dot.lon, dot.lat) for dot in ground.dots}
    codes = [row.code for row in case.rows]
    at = np.tile([sheet.width_mm / 2, sheet.height_mm / 2], (len(codes), 1))
    known = [position for position, code in enumerate(codes) if code in placed]
    at[known] = sheet.place(np.array([placed[codes[p]] for p in known]).reshape(-1, 2))
    beside = _on_sheet(side_by_side(at, [DOT_MM] * len(codes)), sheet.width_mm, sheet.height_mm)
    return {
        code: (round(x, DIGITS), round(y, DIGITS))
        for code, (x, y) in zip(codes, beside.tolist(), strict=True)
    }


def _on_sheet(places: Numbers, width_mm: float, height_mm: float) -> Numbers:
    """Push what many neighbours pushed over the edge back onto it."""
    least, most = np.full(2, DOT_MM), np.array([width_mm, height_mm]) - DOT_MM
    return np.clip(places, least, most)
