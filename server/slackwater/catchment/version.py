"""Is this the same data? Twelve digits that change with the content, and with nothing else."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from functools import lru_cache, partial
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.remembered import Remembered
from slackwater.catchment.settings import ScreenCriteria, Settings
from slackwater.catchment.table import Table

CELL, COLUMN = "\x1f", "\x1e"
"""Cannot stand in a text, so no two contents are written alike."""

SHAPES_REMEMBERED = 4_096
COLUMNS_REMEMBERED = 1_000
_TEXTS: Remembered[list[str]] = Remembered(COLUMNS_REMEMBERED)
_ORDERS: Remembered[tuple[int, ...]] = Remembered(COLUMNS_REMEMBERED)
_PARTS: Remembered[str] = Remembered(COLUMNS_REMEMBERED)
NOT_CONTENT = ("crs", "name", "name_given")


def data_version(tables: Mapping[str, Table], settings: Settings) -> str:
    """Give the first 12 hex digits of SHA-256 over tables as understood and settings.

    Contract names, defaults filled, rows by key (by content where there is none), numbers in
    their shortest round-trip form, places in WGS84. How it was stored leaves no mark: format,
    reference system, column names, order of rows and columns, empty tables.
    """
    digest = hashlib.sha256()
    for name in sorted(tables):
        if len(tables[name]):
            digest.update(f"{COLUMN}table {name}".encode())
            for part in _table_parts(tables[name], tables):
                digest.update(part.encode())
    for part in _settings_parts(settings):
        digest.update(part.encode())
    return digest.hexdigest()[:12]


def _table_parts(table: Table, tables: Mapping[str, Table]) -> Iterator[str]:
    """Give each column's name and cells, in order of its name, rows in their lasting order."""
    columns: dict[str, Any] = _filled(table, tables)
    if table.geometry is not None:
        columns["geometry"] = table.geometry
    by = tuple(columns[name] for name in table.spec.key or sorted(columns))
    order = _ORDERS.of(by, lambda: _row_order(table, columns))
    for name in sorted(columns):
        yield _PARTS.of((columns[name], order), partial(_part, name, columns[name], order), name)


def _part(name: str, cells: NDArray[np.generic], order: tuple[int, ...]) -> str:
    return COLUMN + name + COLUMN + CELL.join(map(_texts(cells).__getitem__, order))


def _filled(table: Table, tables: Mapping[str, Table]) -> dict[str, NDArray[np.generic]]:
    """Give the columns with those defaults filled that stand in another column."""
    columns = dict(table.columns)
    if table.name == "efficacy":
        resident = table.number("resident")
        columns["resident"] = np.where(np.isnan(resident), table.number("drifter"), resident)
    if table.name == "production":
        nursery = table.number("nursery")
        reach = [tables["reaches"].index[each] for each in table.text("reach_id")]
        of_reach = tables["reaches"].number("nursery")[reach]
        columns["nursery"] = np.where(np.isnan(nursery), of_reach, nursery)
    return columns


def _texts(values: NDArray[np.generic]) -> list[str]:
    return _TEXTS.of((values,), lambda: _as_texts(values))


def _as_texts(values: NDArray[np.generic]) -> list[str]:
    """Write cells: numbers shortest, dates as days since 1970, text and places as they are."""
    if values.dtype.kind == "M":
        return list(map(str, values.astype(np.int64).tolist()))
    if values.dtype.kind == "O":
        cells = values.tolist()
        return [cell if isinstance(cell, str) else _shape_text(cell) for cell in cells]
    return list(map(repr, values.tolist()))


def _row_order(table: Table, columns: Mapping[str, NDArray[np.generic]]) -> tuple[int, ...]:
    """Give rows by key; by everything they say where they have none."""
    names = table.spec.key or tuple(sorted(columns))
    ranks = [_ranks(table, name, _texts(columns[name])) for name in names]
    return tuple(np.lexsort(ranks[::-1]).tolist())


def _ranks(table: Table, name: str, cells: list[str]) -> NDArray[np.int64]:
    """(n,) whole numbers that sort as the cells do."""
    values = table.columns.get(name)
    if values is not None and values.dtype.kind == "M":
        return values.astype(np.int64)
    rank = {cell: number for number, cell in enumerate(sorted(set(cells)))}
    return np.fromiter((rank[cell] for cell in cells), np.int64, len(cells))


@lru_cache(SHAPES_REMEMBERED)
def _shape_text(shape: Any) -> str:
    """Write a place: coordinates shortest, rings in one direction from one start.

    Remembered, for an edit leaves most shapes as they are.
    """
    if shape is None:
        return ""
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        shape = shapely.normalize(shape)
    parts = shapely.get_parts(shape)
    rings = shapely.get_rings(parts) if shape.geom_type.endswith("Polygon") else parts
    return ";".join(
        " ".join(map(repr, shapely.get_coordinates(ring).ravel().tolist())) for ring in rings
    )


def _settings_parts(settings: Settings) -> Iterable[str]:
    """Give each setting that is content, by name."""
    if settings.name_given:
        yield f"{COLUMN}name{CELL}{settings.name}"
    for each in sorted(fields(settings), key=lambda field: field.name):
        if each.name not in NOT_CONTENT:
            yield f"{COLUMN}{each.name}{CELL}{_setting_text(getattr(settings, each.name))}"


def _setting_text(value: Any) -> str:
    if isinstance(value, Mapping):
        value = sorted(value.items())
    elif isinstance(value, ScreenCriteria):
        value = [getattr(value, each.name) for each in fields(value)]
    elif isinstance(value, tuple):
        value = [_criterion_values(each) for each in value]
    return repr(value)


def _criterion_values(value: Any) -> Any:
    if isinstance(value, float):
        return value
    return [getattr(value, each.name) for each in fields(value)]
