"""Where would an offtake draw from if it stood elsewhere? Reach and chainage, derived again."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
import shapely

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.contract import TABLES
from slackwater.catchment.placing import nearest_line, snap
from slackwater.desk.editing import findings_of
from slackwater.desk.opening import opened
from slackwater.desk.row_shown import NO_SUCH_ROW, cells_of
from slackwater.desk.working import Working
from slackwater.errors import InputFaults, NotHere, UsageError
from slackwater.store import GEOMETRY, Change, with_changes

PLACE_DIGITS = 7
"""Digits of a degree that are kept: about a centimetre."""

NEAR_M = 10_000.0
"""Width of the first search for the nearest reach; it widens where nothing is found."""


def place_again(working: Working, code: str, lon: float, lat: float) -> dict[str, Any]:
    """Say where an offtake would draw from, and the changes that would move it there.

    Reach and chainage are among the changes only where the register gives them; where it leaves
    them blank they follow from the place.

    Raises
    ------
    NotHere
        Where there is no such offtake.
    UsageError
        Where the reaches have no lines to be placed on.
    """
    newest = working.newest()
    catchment = newest.opened.catchment
    position = catchment.table("offtakes").index.get(code)
    if position is None:
        raise NotHere(NO_SUCH_ROW)
    lon, lat = round(lon, PLACE_DIGITS), round(lat, PLACE_DIGITS)
    reach, distance_m, chainage_m = _on_river(catchment, shapely.Point(lon, lat))
    reaches = catchment.table("reaches")
    spec, raw = TABLES["offtakes"], newest.raw.tables["offtakes"]
    cells = cells_of(spec.fields, spec, raw, position)
    new = {GEOMETRY: [lon, lat], "reach_id": reaches.keys[reach], "chainage_m": chainage_m}
    changes = [
        Change("offtakes", code, column, cells[column], value)
        for column, value in new.items()
        if column == GEOMETRY or (cells[column] is not None and cells[column] != value)
    ]
    try:
        warnings = opened(with_changes(newest.raw, changes)).warnings
        found = tuple(each for each in warnings if each.key == code)
    except InputFaults as refused:
        found = refused.faults
    return {
        "reach_id": reaches.keys[reach],
        "reach_name": str(reaches.text("name")[reach]),
        "chainage_m": chainage_m,
        "distance_m": round(distance_m, 1),
        "limit_m": catchment.settings.snap_limit_m,
        "lon": lon,
        "lat": lat,
        "findings": findings_of(found),
        "changes": [asdict(change) for change in changes],
    }


def _on_river(catchment: Catchment, point: shapely.Point) -> tuple[int, float, float]:
    """Give the nearest reach, how far it is, and the chainage there in decimetres of its length.

    Raises
    ------
    UsageError
        Where no reach has a line.
    """
    lines = catchment.table("reaches").geometry
    drawn = np.zeros(0, np.int64) if lines is None else np.flatnonzero(~shapely.is_missing(lines))
    if lines is None or not len(drawn):
        raise UsageError(
            "the reaches carry no lines to stand on: give the offtake's reach (reach_id) and how "
            "far along it (chainage_m)"
        )
    placed = list(lines[drawn])
    at, distance_m = nearest_line(point, placed, shapely.STRtree(placed), NEAR_M)
    reach = int(drawn[at])
    length_m = float(catchment.length_m[reach])
    chainage_m = length_m * snap(point, placed[at])[1]
    return reach, distance_m, min(round(chainage_m, 1), length_m)
