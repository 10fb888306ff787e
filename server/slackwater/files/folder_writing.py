"""How is a catchment written as a folder? GeoJSON where rows have a place, else CSV."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping, Sequence
from io import StringIO
from pathlib import Path
from typing import Any

import shapely

from slackwater.catchment.fields import Shape
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table
from slackwater.files.folder import SETTINGS_FILE
from slackwater.files.formula_marks import marked
from slackwater.files.settings_writing import settings_text
from slackwater.files.unfinished import finished
from slackwater.files.written_cells import plain_column, written_tables


def write_folder(tables: Mapping[str, Table], settings: Settings, path: Path) -> None:
    """Write a catchment as a folder of files that people can open.

    Every column given is written, private ones too: choose the columns before. Text that a
    spreadsheet would evaluate has an apostrophe before it in a CSV, which reading takes away.

    Raises
    ------
    UsageError
        Where the folder is there and not empty.
    """
    with finished(path) as folder:
        folder.mkdir()
        (folder / SETTINGS_FILE).write_text(settings_text(settings), "utf-8", newline="\n")
        for table in written_tables(tables):
            if table.spec.shape is Shape.NONE:
                _write_csv(table, folder / f"{table.name}.csv")
            else:
                _write_geojson(table, folder / f"{table.name}.geojson")


def _write_csv(table: Table, path: Path) -> None:
    columns = [plain_column(values) for values in table.columns.values()]
    with path.open("w", encoding="utf-8", newline="") as file:
        for row in (list(table.columns), *zip(*columns, strict=True)):
            file.write(_line(row))


def _line(row: Sequence[Any]) -> str:
    """Give a row as a line; cells that hold any kind of line end are quoted."""
    line = StringIO(newline="")
    csv.writer(line, lineterminator="\r\n").writerow([marked(cell) for cell in row])
    return line.getvalue().removesuffix("\r\n") + "\n"


def _write_geojson(table: Table, path: Path) -> None:
    names = list(table.columns)
    columns = [plain_column(values) for values in table.columns.values()]
    geometry = [None] * len(table) if table.geometry is None else table.geometry
    features = [
        {
            "type": "Feature",
            "properties": dict(zip(names, cells, strict=True)),
            "geometry": None if shape is None else shapely.geometry.mapping(shape),
        }
        for *cells, shape in zip(*columns, geometry, strict=True)
    ]
    # One feature a line, so that a change of one row is a change of one line.
    lines = ",\n".join(json.dumps(each, ensure_ascii=False, default=_text) for each in features)
    text = f'{{"type": "FeatureCollection", "features": [\n{lines}\n]}}\n'
    path.write_text(text, "utf-8", newline="\n")


def _text(value: Any) -> str:
    """Give a date as ISO text."""
    return str(value)
