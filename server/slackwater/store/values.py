"""When do two values say the same? Each is brought to the one form in which it is stored."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import shapely
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from slackwater.catchment.cells import parse_cells
from slackwater.catchment.contract import TABLES
from slackwater.catchment.contract.columns import number
from slackwater.catchment.fields import Field, Shape, TableSpec
from slackwater.errors import UsageError
from slackwater.store.records import GEOMETRY, SETTINGS, TOML, Change


def spec_of(table: str) -> TableSpec:
    """Give a table's description.

    Raises
    ------
    UsageError
        Where the contract has no such table.
    """
    if table not in TABLES:
        raise UsageError(f"there is no table {table!r}; there are {', '.join(TABLES)}")
    return TABLES[table]


def field_of(spec: TableSpec, column: str, further: Collection[str]) -> Field:
    """Give a column's description; a further column of the offtakes is a number.

    Raises
    ------
    UsageError
        Where the table has no such column.
    """
    if column in spec.by_name:
        return spec.by_name[column]
    if spec.name == "offtakes" and column in further:
        return number(column, "", f"{column}, a further number", least=None)
    raise UsageError(f"table {spec.name} has no column {column!r}")


def stored_cell(described: Field, value: Any) -> Any:
    """Give a cell as it is stored: float, str, date or None; one at fault as it came.

    What is at fault is left for the contract's checks to name.
    """
    if value is None or value == "":
        return None
    asked = replace(described, default=None, needed=False)
    parsed = parse_cells(asked, [value])
    if parsed.troubles:
        return value
    cell = parsed.values.tolist()[0]
    if cell == "" or cell is None or (isinstance(cell, float) and np.isnan(cell)):
        return None
    return cell


def stored_place(value: Any) -> BaseGeometry | None:
    """Give a place as a geometry.

    Raises
    ------
    UsageError
        Where it is neither ``[lon, lat]`` nor a GeoJSON geometry.
    """
    if value is None or isinstance(value, BaseGeometry):
        return value
    try:
        if isinstance(value, Mapping):
            return shapely.from_geojson(json.dumps(value))
        lon, lat = value
        return shapely.Point(float(lon), float(lat))
    except (TypeError, ValueError, ShapelyError) as error:
        raise UsageError(
            f"a place is [lon, lat] or a GeoJSON geometry, not {str(value)[:80]!r}"
        ) from error


def told_value(value: Any) -> Any:
    """Give a stored value as plain JSON: dates as ISO text, a point as ``[lon, lat]``."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, BaseGeometry):
        if value.geom_type == "Point":
            return [value.x, value.y]
        return json.loads(shapely.to_geojson(value))
    return value


def same(one: Any, other: Any) -> bool:
    """Whether two stored values say the same, places digit for digit."""
    if isinstance(one, BaseGeometry) and isinstance(other, BaseGeometry):
        return bool(shapely.equals_identical(one, other))
    return type(one) is type(other) and bool(one == other)


def stored_change(change: Change, further: Collection[str]) -> Change:
    """Give a change with its values as they are stored.

    Raises
    ------
    UsageError
        Where table or column are unknown, or a row is neither added nor removed.
    """
    if change.table == SETTINGS:
        if change.column != TOML or change.key or not isinstance(change.new, str):
            raise UsageError(f'settings change as a whole: column "{TOML}", its text, no key')
        return change
    spec = spec_of(change.table)
    if change.column:
        old, new = (_stored(spec, change.column, v, further) for v in (change.old, change.new))
        return replace(change, old=old, new=new)
    old, new = (_stored_row(spec, row, further) for row in (change.old, change.new))
    if (old is None) == (new is None):
        raise UsageError(f"{spec.name} {change.key}: a row is added (old null) or removed (new)")
    return replace(change, old=old, new=new)


def told_change(change: Change) -> Change:
    """Give a change with its values as plain JSON."""
    old, new = (
        {name: told_value(cell) for name, cell in value.items()}
        if isinstance(value, Mapping)
        else told_value(value)
        for value in (change.old, change.new)
    )
    return replace(change, old=old, new=new)


def _stored_row(spec: TableSpec, row: Any, further: Collection[str]) -> dict[str, Any] | None:
    """Give a row's filled cells."""
    if row is None:
        return None
    if not isinstance(row, Mapping):
        raise UsageError(f"a row of {spec.name} is given as its cells by column")
    cells = {name: _stored(spec, name, value, further) for name, value in row.items()}
    return {name: cell for name, cell in cells.items() if cell is not None}


def _stored(spec: TableSpec, column: str, value: Any, further: Collection[str]) -> Any:
    if column == GEOMETRY and spec.shape is not Shape.NONE:
        return stored_place(value)
    return stored_cell(field_of(spec, column, further), value)
