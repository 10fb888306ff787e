"""What does a layer of a vector file say? Cells, geometry and numbers of its features."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime, time
from pathlib import Path
from typing import Any

import pyarrow as pa
import shapely
from pyogrio.raw import read_arrow

from slackwater.catchment.fields import Shape, TableSpec
from slackwater.catchment.raw import UNREADABLE, RawTable
from slackwater.errors import InputFaults
from slackwater.files.geojson_table import geometry_invalid
from slackwater.files.reading import Reading, finding

NO_SYSTEM = ("Undefined Cartesian SRS", "Undefined geographic SRS", "Undefined SRS")
"""What the GeoPackage standard calls a layer that names no reference system."""


def read_layer(
    path: Path,
    spec: TableSpec,
    reading: Reading,
    *,
    layer: str | None = None,
    encoding: str = "utf-8",
    open_options: dict[str, str] | None = None,
    first_number: int | None = None,
) -> RawTable:
    """Read one layer as it stands: whole numbers with gaps stay whole, text stays text.

    Parameters
    ----------
    encoding : of the text as the driver hands it over.
    first_number : number of the first feature; None gives the fid itself.

    Raises
    ------
    InputFaults
        ``unreadable`` or ``encoding``.
    """
    found_in = layer or path.name
    meta, table = _open(path, spec.name, layer, open_options or {})
    fids: list[int] = table.columns[0].to_pylist()
    shift = 0 if first_number is None else first_number
    rows = tuple(fid + shift for fid in fids)
    cells: dict[str, Sequence[Any]] = {}
    for name, column in zip(_names(meta, spec.name, encoding), table.columns[1:], strict=False):
        if not pa.types.is_binary(column.type):
            cells[name] = plain_cells(column, spec.name, name, rows, encoding)
    has_geometry = meta["geometry_type"] is not None
    if spec.shape is Shape.NONE or not has_geometry:
        return RawTable(spec.name, found_in, rows, cells)
    geometry = _geometry(table.columns[-1], spec, rows, cells, reading)
    return RawTable(spec.name, found_in, rows, cells, geometry, _crs(meta))


def plain_cells(
    column: pa.ChunkedArray, table: str, name: str, rows: Sequence[int], encoding: str
) -> list[Any]:
    """Give a column as plain cells, dates as dates.

    Raises
    ------
    InputFaults
        ``encoding``, at the first text that does not fit.
    """
    if pa.types.is_string(column.type) or pa.types.is_large_string(column.type):
        return _texts(column, table, name, rows, encoding)
    return [_plain(value) for value in column.to_pylist()]


def _open(
    path: Path, table: str, layer: str | None, open_options: dict[str, str]
) -> tuple[dict[str, Any], pa.Table]:
    try:
        meta, read = read_arrow(path, layer=layer, return_fids=True, **open_options)
        # Numbers as names: those of a file in another encoding cannot even be looked at.
        return meta, read.rename_columns([str(i) for i in range(read.num_columns)])
    except (RuntimeError, ValueError, OSError, pa.ArrowException) as error:
        remedy = f"{path.name} cannot be read; open it in a GIS and save it again ({error})"
        raise InputFaults([finding(table, "unreadable", remedy, value=layer or "")]) from error


def _names(meta: dict[str, Any], table: str, encoding: str) -> list[str]:
    names = [str(name) for name in meta["fields"]]
    if meta["encoding"] == "UTF-8":
        return names
    try:
        return [name.encode("latin-1").decode(encoding) for name in names]
    except UnicodeError as error:
        raise InputFaults([_not_encoded(table, None, "", encoding, ", ".join(names))]) from error


def _texts(
    column: pa.ChunkedArray, table: str, name: str, rows: Sequence[int], encoding: str
) -> list[str | None]:
    is_large = pa.types.is_large_string(column.type)
    stored: list[bytes | None] = column.cast(
        pa.large_binary() if is_large else pa.binary()
    ).to_pylist()
    texts: list[str | None] = []
    for row, data in zip(rows, stored, strict=True):
        try:
            texts.append(None if data is None else data.decode(encoding))
        except UnicodeError as error:
            shown = data.decode("ascii", "replace") if data else ""
            raise InputFaults([_not_encoded(table, row, name, encoding, shown)]) from error
    return texts


def _not_encoded(table: str, row: int | None, column: str, encoding: str, value: str) -> Any:
    remedy = (
        f"not {encoding} text; name the encoding in the settings, "
        f'[encoding] {table} = "cp1252", or in a .cpg file'
    )
    return finding(table, "encoding", remedy, row=row, column=column, value=value)


def _plain(value: Any) -> Any:
    if isinstance(value, datetime) and value.time() == time():
        return value.date()
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False, default=str)
    return value


def _geometry(
    column: pa.ChunkedArray,
    spec: TableSpec,
    rows: Sequence[int],
    cells: dict[str, Sequence[Any]],
    reading: Reading,
) -> list[Any]:
    built: list[Any] = []
    for position, data in enumerate(column.to_pylist()):
        geometry, problem = _built(data)
        if problem:
            key = reading.key_of(spec, cells, position)
            reading.faults.append(geometry_invalid(spec.name, rows[position], key, problem))
        built.append(geometry)
    return built


def _built(data: bytes | None) -> tuple[Any, str]:
    """Build a plane geometry from its binary form, or say why it cannot be."""
    if data is None:
        return None, ""
    try:
        geometry = shapely.from_wkb(data)
        is_plane = not (geometry.has_z or geometry.has_m)
        return geometry if is_plane else shapely.force_2d(geometry), ""
    except NotImplementedError:
        return UNREADABLE, "curves must be made of straight pieces first"
    except shapely.errors.ShapelyError:
        return UNREADABLE, "its parts do not make a shape"


def _crs(meta: dict[str, Any]) -> str:
    crs = meta["crs"] or ""
    return "" if any(mark in crs for mark in NO_SYSTEM) else str(crs)
