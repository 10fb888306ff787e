"""What does one row of the register say? Its cells as given, as understood, and who wrote them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import shapely

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.contract import TABLES
from slackwater.catchment.contract.columns import number
from slackwater.catchment.fields import Field, Shape, TableSpec
from slackwater.catchment.raw import RawTable
from slackwater.catchment.table import Table
from slackwater.catchment.wording import needs
from slackwater.desk.working import Working
from slackwater.errors import NotHere
from slackwater.store import GEOMETRY, Past
from slackwater.store.values import told_value

NO_SUCH_ROW = "there is no such row in the register"


def row_values(working: Working, table: str, key: str, last: Mapping[str, Past]) -> dict[str, Any]:
    """Give one row as it can be edited.

    Parameters
    ----------
    last : column -> the edit that wrote its cell last, as far as it may be told.

    Raises
    ------
    NotHere
        Where there is no such table or row.
    """
    newest = working.newest()
    spec, raw = TABLES.get(table), newest.raw.tables.get(table)
    catchment = newest.opened.catchment
    position = place_of_key(catchment, table, key) if spec and raw else None
    if spec is None or raw is None or position is None:
        raise NotHere(NO_SUCH_ROW)
    fields = fields_of(spec, raw)
    cells = cells_of(fields, spec, raw, position)
    return {
        "table": table,
        "key": key,
        "cells": cells,
        "understood": _understood(catchment, table, position),
        "fields": [_field_values(each) for each in fields],
        "last": _last_written(last, cells),
    }


def place_of_key(catchment: Catchment, table: str, key: str) -> int | None:
    """Give a row's position by its key; by its number where the table has no key."""
    of = catchment.table(table)
    if of.spec.key:
        return of.index.get(key)
    return {str(row): position for position, row in enumerate(of.rows.tolist())}.get(key)


def cells_of(
    fields: Iterable[Field], spec: TableSpec, raw: RawTable, position: int
) -> dict[str, Any]:
    """Give a row's cells as they were given, None where blank; its place under ``geometry``."""
    cells = {each.name: _given(raw.cells, each.name, position) for each in fields}
    if spec.shape is not Shape.NONE:
        place = None if raw.geometry is None else raw.geometry[position]
        cells[GEOMETRY] = told_value(place)
    return cells


def fields_of(spec: TableSpec, raw: RawTable) -> list[Field]:
    """Give the contract's columns, and the further numbers a criterion of the score reads."""
    further = (name for name in raw.cells if name not in spec.by_name)
    return [
        *spec.fields,
        *(number(name, "", "a further criterion of the score", least=None) for name in further),
    ]


def _given(cells: Mapping[str, Any], name: str, position: int) -> Any:
    value = told_value(cells[name][position]) if name in cells else None
    return None if value == "" else value


def _understood(catchment: Catchment, table: str, position: int) -> dict[str, Any]:
    """Give a row's values with defaults filled, and where an offtake stands."""
    of = catchment.table(table)
    values = {name: _plain(of, name, position) for name in of.columns}
    if table == "offtakes":
        reach = int(catchment.reach_index[position])
        values["reach_id"] = catchment.table("reaches").keys[reach]
        values["chainage_m"] = float(catchment.chainage_m[position])
    place = None if of.geometry is None else of.geometry[position]
    if isinstance(place, shapely.Point):
        values[GEOMETRY] = [place.x, place.y]
    return values


def _plain(of: Table, name: str, position: int) -> Any:
    """Give a cell as a JSON value, None where it is empty."""
    cell = of.columns[name][position]
    if isinstance(cell, np.datetime64):
        return None if np.isnat(cell) else str(cell)
    if isinstance(cell, str):
        return cell or None
    return None if np.isnan(float(cell)) else float(cell)


def _field_values(described: Field) -> dict[str, Any]:
    return {
        "name": described.name,
        "kind": described.kind.value,
        "unit": described.unit,
        "meaning": described.meaning,
        "words": list(described.words),
        "needed": described.needed,
        "least": described.least if described.is_number else None,
        "most": described.most,
        "above_zero": described.above_zero,
        "default_note": described.default_note,
        "refers_to": described.refers_to,
        "holds": needs(described),
    }


def _last_written(last: Mapping[str, Past], cells: Iterable[str]) -> dict[str, dict[str, str]]:
    """Say who wrote each cell last; whoever added the row wrote all of it ("")."""
    written = {}
    for column in cells:
        past = [each for each in (last.get(column), last.get("")) if each]
        if past:
            latest = max(past, key=lambda each: each.seq)
            written[column] = {
                "at": latest.at,
                "by": latest.by,
                "why": latest.why,
                "basis": latest.basis,
                "source": latest.source,
            }
    return written
