"""How is a catchment written as one GeoPackage? A layer a table, and one for the settings."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pyarrow as pa
import shapely
from pyogrio import write_arrow

from slackwater.catchment.fields import Shape
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table
from slackwater.errors import UsageError
from slackwater.files.geopackage import SETTINGS_COLUMN, SETTINGS_LAYER
from slackwater.files.settings_writing import settings_text
from slackwater.files.unfinished import finished
from slackwater.files.written_cells import plain_column, written_tables

GEOMETRY = "geom"
SINGLE = {Shape.POINT: "Point", Shape.LINE: "LineString", Shape.POLYGON: "Polygon"}
TYPES = {"f": pa.float64(), "M": pa.date32(), "O": pa.string()}
"""numpy's kind of a column -> what the layer holds."""


def write_geopackage(tables: Mapping[str, Table], settings: Settings, path: Path) -> None:
    """Write a catchment as one GeoPackage in EPSG:4326 that opens in a GIS.

    Every column given is written, private ones too: choose the columns before.

    Raises
    ------
    UsageError
        Where settings stand beside the file, which would then be given twice.
    """
    beside = Path(path).with_suffix(".toml")
    if beside.exists():
        raise UsageError(f"{beside.name} beside it gives settings too; move it away first")
    with finished(path) as partial:
        for table in written_tables(tables):
            _write_layer(table, partial)
        text = pa.table({SETTINGS_COLUMN: [settings_text(settings)]})
        write_arrow(text, partial, layer=SETTINGS_LAYER, driver="GPKG")


def _write_layer(table: Table, path: Path) -> None:
    columns: dict[str, Any] = {
        name: pa.array(plain_column(values), TYPES[values.dtype.kind])
        for name, values in table.columns.items()
    }
    place: dict[str, str] = {}
    if table.spec.shape is not Shape.NONE:
        shapes = [None] * len(table) if table.geometry is None else list(table.geometry)
        kind, shapes = _of_one_kind(shapes, SINGLE[table.spec.shape])
        columns[GEOMETRY] = pa.array([s if s is None else s.wkb for s in shapes], pa.binary())
        place = {"geometry_name": GEOMETRY, "geometry_type": kind, "crs": "EPSG:4326"}
    write_arrow(pa.table(columns), path, layer=table.name, driver="GPKG", **place)


def _of_one_kind(shapes: list[Any], single: str) -> tuple[str, list[Any]]:
    """Give the layer's geometry type; where some shapes have several parts, all are made so."""
    if all(shape is None or shape.geom_type == single for shape in shapes):
        return single, shapes
    multiple = getattr(shapely, f"Multi{single}")
    return f"Multi{single}", [
        multiple([shape]) if shape is not None and shape.geom_type == single else shape
        for shape in shapes
    ]
