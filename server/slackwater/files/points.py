"""Where are the points of a table whose format has only columns? Coordinates from cells."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import shapely

from slackwater.catchment.fields import Shape, TableSpec
from slackwater.catchment.findings import shown
from slackwater.catchment.numerals import NUMERAL
from slackwater.catchment.raw import UNREADABLE
from slackwater.files.reading import Reading, finding

PAIRS = (("lon", "lat"), ("x", "y"))


def coordinate_columns(
    spec: TableSpec, names: Sequence[str], reading: Reading
) -> tuple[str, str] | None:
    """Give the names in the file of a point table's two coordinate columns, None without them."""
    if spec.shape is not Shape.POINT:
        return None
    for east, north in PAIRS:
        pair = reading.name_in_file(spec.name, east), reading.name_in_file(spec.name, north)
        if all(name in names for name in pair):
            return pair
    return None


def points_from_cells(
    spec: TableSpec,
    rows: Sequence[int],
    cells: Mapping[str, Sequence[Any]],
    pair: tuple[str, str],
    reading: Reading,
) -> tuple[list[Any], str]:
    """Make a point of each row's two coordinate cells.

    Returns
    -------
    geometry : shapely points; None where both cells are empty, ``UNREADABLE`` where a fault was
        added.
    crs : WGS84 for degrees, else what the settings name, which may be "".
    """
    in_degrees = pair == tuple(reading.name_in_file(spec.name, name) for name in PAIRS[0])
    geometry: list[Any] = []
    for position, row in enumerate(rows):
        values = [cells[name][position] for name in pair]
        if all(_is_empty(value) for value in values):
            geometry.append(None)
            continue
        numbers = [coordinate(value) for value in values]
        if None not in numbers:
            geometry.append(shapely.Point(*numbers))
            continue
        geometry.append(UNREADABLE)
        for name, value, number in zip(pair, values, numbers, strict=True):
            if number is None:
                _add_fault(spec, row, reading.key_of(spec, cells, position), name, value, reading)
    return geometry, "EPSG:4326" if in_degrees else reading.crs


def coordinate(value: Any) -> float | None:
    """Understand a coordinate cell: digits, sign, point, exponent; None where it is none."""
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not is_number and not (isinstance(value, str) and NUMERAL.fullmatch(value.strip(" "))):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def _is_empty(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip(" "))


def _add_fault(
    spec: TableSpec, row: int, key: str, column: str, value: Any, reading: Reading
) -> None:
    remedy = "give a number with a decimal point, such as 146.25, and both coordinates of a place"
    reading.faults.append(
        finding(
            spec.name, "not_a_number", remedy, row=row, key=key, column=column, value=shown(value)
        )
    )
