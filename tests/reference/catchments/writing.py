"""Writes an invented catchment as a folder of CSV, GeoJSON and TOML files in the form of the data
contract.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

from pyproj import Transformer

from .draft import Draft, Row

# Columns that must stand in a file even where every cell is empty; others are left out then.
COLUMNS = {
    "reaches": ["reach_id", "to_reach", "gauge_id"],
    "splits": ["from_reach", "to_reach", "share"],
    "metered": ["offtake_id", "date", "draw_m3s"],
    "daily": ["gauge_id", "date", "flow_m3s", "water_temp_c"],
    "production": ["reach_id", "guild_id", "production"],
    "efficacy": ["option_id", "guild_id", "drifter"],
    "prices": ["item", "kind", "amount"],
    "weirs": ["reach_id", "name", "guild_id", "survival", "source"],
}
TABLES = [
    "guilds",
    "production",
    "options",
    "efficacy",
    "prices",
    "daily",
    "splits",
    "weirs",
    "metered",
]
MAY_BE_MISSING = {"splits", "weirs", "metered"}


def write_folder(draft: Draft, folder: Path) -> None:
    """All tables and the settings; points as GeoJSON or CSV, the latter in degrees or in metres of
    a zone.
    """
    folder.mkdir(parents=True, exist_ok=True)
    settings = dict(draft.settings)
    projected = "projected" in draft.aims
    if projected:
        zone = int((draft.sea[0] + 180) // 6) + 1
        settings["crs"] = f"EPSG:{(32700 if draft.sea[1] < 0 else 32600) + zone}"
    if "renamed" in draft.aims:
        settings["columns"] = {"offtakes": {"capacity_m3s": "MAX_RATE"}, "daily": {"flow_m3s": "Q"}}
    write_features(
        folder, "reaches", [reach_feature(draft, reach) for reach in draft.tables["reaches"]]
    )
    for table in ("gauges", "offtakes"):
        rows = [point_row(row) for row in draft.tables[table]]
        rows = renamed(rows, table, settings)
        if projected or "plain_points" in draft.aims:
            write_csv(folder, table, [plain_point(row, settings.get("crs")) for row in rows], [])
        else:
            write_features(folder, table, [point_feature(row) for row in rows])
    for table in TABLES:
        rows = draft.tables[table]
        if rows or table not in MAY_BE_MISSING or draft.chance(50):
            write_csv(
                folder, table, renamed(rows, table, settings), renamed_columns(table, settings)
            )
    if settings or draft.chance(50):
        (folder / "catchment.toml").write_text(as_toml(settings), encoding="utf-8")


def renamed_columns(table: str, settings: dict[str, Any]) -> list[str]:
    """The columns that must stand, under the agency's names."""
    names = settings.get("columns", {}).get(table, {})
    return [names.get(column, column) for column in COLUMNS.get(table, [])]


def renamed(rows: list[Row], table: str, settings: dict[str, Any]) -> list[Row]:
    """Rows under the agency's names."""
    names = settings.get("columns", {}).get(table, {})
    return [{names.get(column, column): cell for column, cell in row.items()} for row in rows]


def point_row(row: Row) -> Row:
    """A row as written: an offtake to be snapped to the nearest reach has no reach."""
    return {
        key: None if key == "reach_id" and row.get("snap") else cell
        for key, cell in row.items()
        if key != "snap"
    }


def point_feature(row: Row) -> Row:
    """A GeoJSON point."""
    properties = {key: cell for key, cell in row.items() if key != "lonlat"}
    geometry = {"type": "Point", "coordinates": list(row["lonlat"])}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def plain_point(row: Row, crs: str | None) -> Row:
    """A CSV point, in degrees or in the settings' coordinates."""
    plain = {key: cell for key, cell in row.items() if key != "lonlat"}
    if crs is None:
        return {**plain, "lon": row["lonlat"][0], "lat": row["lonlat"][1]}
    x, y = Transformer.from_crs("EPSG:4326", crs, always_xy=True).transform(*row["lonlat"])
    return {**plain, "x": round(x, 2), "y": round(y, 2)}


def reach_feature(draft: Draft, reach: Row) -> Row:
    """A GeoJSON line, now and then in two parts that join."""
    properties = {key: cell for key, cell in reach.items() if key != "line"}
    line = [list(point) for point in reach["line"]]
    geometry: Row = {"type": "LineString", "coordinates": line}
    if len(line) > 2 and draft.chance(12):
        geometry = {"type": "MultiLineString", "coordinates": [line[:2], line[1:]]}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def write_features(folder: Path, table: str, features: list[Row]) -> None:
    """One GeoJSON file."""
    collection = {"type": "FeatureCollection", "features": features}
    (folder / f"{table}.geojson").write_text(
        json.dumps(collection, ensure_ascii=False), encoding="utf-8"
    )


def write_csv(folder: Path, table: str, rows: list[Row], columns: list[str]) -> None:
    """One CSV file, UTF-8; columns that no row fills are left out unless they must stand."""
    names = list(columns)
    for row in rows:
        names += [name for name, cell in row.items() if cell is not None and name not in names]
    with open(folder / f"{table}.csv", "w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, restval="", extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)


def as_toml(settings: dict[str, Any]) -> str:
    """Settings as TOML: plain keys first, then tables, then arrays of tables."""
    plain, tables = [], []
    for key, value in settings.items():
        if (
            isinstance(value, dict)
            and all(isinstance(inner, dict) for inner in value.values())
            and value
        ):
            for name, inner in value.items():
                tables += [
                    f"\n[{key}.{name}]",
                    *(f"{k} = {json.dumps(v)}" for k, v in inner.items()),
                ]
        elif isinstance(value, dict):
            tables += [f"\n[{key}]", *(f"{k} = {json.dumps(v)}" for k, v in value.items())]
        elif isinstance(value, list):
            for entry in value:
                tables += [f"\n[[{key}]]", *(f"{k} = {json.dumps(v)}" for k, v in entry.items())]
        else:
            plain.append(f"{key} = {json.dumps(value, ensure_ascii=False)}")
    return "\n".join([*plain, *tables]) + "\n"
