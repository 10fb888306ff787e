"""What is written in a folder's files: rows of cells, before any meaning is given to them.

Follows the data contract: a table is one CSV or GeoJSON file; its cells are read as text, a number
or nothing.
"""

from __future__ import annotations

import csv
import json
import tomllib
from pathlib import Path
from typing import Any

from pyproj import Transformer

Row = dict[str, Any]
Point = tuple[float, float]  # longitude, latitude in degrees


def read_settings(folder: Path) -> dict[str, Any]:
    """The data contract, settings: `catchment.toml`, which may be absent."""
    path = folder / "catchment.toml"
    if not path.exists():
        return {}
    return tomllib.loads(path.read_text(encoding="utf-8-sig"))


def read_rows(folder: Path, table: str, settings: dict[str, Any]) -> list[Row]:
    """The data contract, tables: the rows of one table with contract names; geometry under
    `geometry`.
    """
    agency_names: dict[str, str] = settings.get("columns", {}).get(table, {})
    contract_names = {agency: contract for contract, agency in agency_names.items()}
    rows: list[Row] = []
    if (folder / f"{table}.geojson").exists():
        collection = json.loads((folder / f"{table}.geojson").read_text(encoding="utf-8-sig"))
        for feature in collection["features"]:
            row = {
                contract_names.get(name, name): cell for name, cell in feature["properties"].items()
            }
            row["geometry"] = feature["geometry"]
            rows.append(row)
    elif (folder / f"{table}.csv").exists():
        with open(
            folder / f"{table}.csv", encoding=encoding_of(table, settings), newline=""
        ) as file:
            for cells in csv.DictReader(file):
                rows.append({contract_names.get(name, name): cell for name, cell in cells.items()})
    return rows


def encoding_of(table: str, settings: dict[str, Any]) -> str:
    """The data contract, settings: `[encoding]` names one table's or all tables' encoding; else
    UTF-8.
    """
    encodings = settings.get("encoding", {})
    return str(encodings.get(table, encodings.get("all", "utf-8-sig")))


def text(row: Row, column: str, default: str = "") -> str:
    """A text cell, leading zeros kept; the default where it is empty or absent."""
    cell = row.get(column)
    if cell is None or cell == "":
        return default
    return str(cell)


def number(row: Row, column: str) -> float | None:
    """A number cell; None where it is empty or absent."""
    cell = row.get(column)
    if cell is None or cell == "":
        return None
    return float(cell)


def number_or(row: Row, column: str, default: float) -> float:
    """A number cell; the default where it is empty or absent."""
    value = number(row, column)
    return default if value is None else value


def needed(row: Row, column: str) -> float:
    """A number cell that the contract marks as needed."""
    value = number(row, column)
    if value is None:
        raise ValueError(f"{column} is needed and empty")
    return value


def point_of(row: Row, settings: dict[str, Any]) -> Point:
    """The data contract: a GeoJSON point, or `lon`,`lat`, or `x`,`y` in the settings' `crs`."""
    if "geometry" in row:
        lon, lat = row["geometry"]["coordinates"][:2]
        return float(lon), float(lat)
    if number(row, "lon") is not None:
        return needed(row, "lon"), needed(row, "lat")
    to_degrees = Transformer.from_crs(settings["crs"], "EPSG:4326", always_xy=True)
    lon, lat = to_degrees.transform(needed(row, "x"), needed(row, "y"))
    return float(lon), float(lat)


def line_of(row: Row) -> list[Point]:
    """The model page, section 1: a multi-part line whose parts join end to end is joined."""
    geometry = row["geometry"]
    if geometry["type"] == "LineString":
        parts = [geometry["coordinates"]]
    else:
        parts = list(geometry["coordinates"])
    line = [(float(p[0]), float(p[1])) for p in parts[0]]
    waiting = [[(float(p[0]), float(p[1])) for p in part] for part in parts[1:]]
    while waiting:
        for part in waiting:
            if part[0] == line[-1]:
                line = line + part[1:]
                waiting.remove(part)
                break
            if part[-1] == line[0]:
                line = part[:-1] + line
                waiting.remove(part)
                break
        else:
            raise ValueError("the parts of this line do not join end to end")
    return line
