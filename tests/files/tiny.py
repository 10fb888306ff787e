"""A tiny invented catchment as plain rows, and ways to save it with other libraries than ours."""

from __future__ import annotations

import csv
import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import geopandas
import openpyxl
import pandas as pd
import pyogrio
import shapely
import tomli_w

from slackwater.catchment.contract import TABLES
from slackwater.catchment.understand import understand
from slackwater.files.read import read_catchment

Row = dict[str, Any]
GEOMETRY = "geometry"

SETTINGS: dict[str, Any] = {
    "name": "Umber Brook",
    "crs": "EPSG:4326",
    "discount_rate": 0.05,
    "allocation": {"2019": 0.8},
    "ranges": {"draw": [0.9, 1.2]},
    "criterion": [{"column": "heron_nests", "weight": 0.5, "worst": 0, "best": 4}],
}


def tables() -> dict[str, list[Row]]:
    """Give fresh rows of each table; points and lines in degrees under ``geometry``."""
    upper = shapely.LineString([(100.0, -36.0), (100.1, -36.05)])
    lower = shapely.LineString([(100.1, -36.05), (100.25, -36.1)])
    days = [date(2019, 7, 1) + timedelta(days=n) for n in range(366)]
    return {
        "reaches": [
            {
                "reach_id": "01",
                "to_reach": "02",
                "name": "Umber above Fen",
                "gauge_id": "0007",
                "length_m": 11000.5,
                "flow_scale": 0.7,
                "velocity_coef": 0.3,
                GEOMETRY: upper,
            },
            {
                "reach_id": "02",
                "to_reach": None,
                "name": "Umber below Fen",
                "gauge_id": "0007",
                "length_m": 15000.25,
                "flow_scale": 1.0,
                "velocity_coef": 0.31,
                GEOMETRY: lower,
            },
        ],
        "gauges": [{"gauge_id": "0007", "name": "Fen", GEOMETRY: shapely.Point(100.1, -36.05)}],
        "daily": [
            {"gauge_id": "0007", "date": day, "flow_m3s": 5 + (n % 7) / 3, "water_temp_c": 18.5}
            for n, day in enumerate(days)
        ],
        "guilds": [
            {
                "guild_id": "dace",
                "name": "Fen dace, early",
                "window_start": "10-01",
                "window_full": "10-20",
                "window_easing": "12-01",
                "window_end": "01-10",
                "full_season_days": 40,
                "drift_days": 5,
                "mortality_per_day": 0.1,
                "outlet_value": 0,
                "adult_per_settler": 0.1 + 0.2,
                "source": "invented",
            },
        ],
        "production": [
            {"reach_id": "01", "guild_id": "dace", "production": 1e6, "source": "invented"},
        ],
        "offtakes": [
            {
                "offtake_id": "0012",
                "licence": "00345",
                "landholder": "Zoë Åkerlund",
                "reach_id": "01",
                "chainage_m": 4000.125,
                "kind": "fixed_suction",
                "capacity_m3s": 0.3,
                "use_01": 0.5,
                "use_07": 0,
                "heron_nests": 3,
                "observed_on": date(2021, 3, 4),
                GEOMETRY: shapely.Point(100.0401, -36.0199),
            },
            {
                "offtake_id": "0013",
                "licence": "=1+1",
                "landholder": "Émile, the elder",
                "reach_id": "02",
                "chainage_m": 500,
                "kind": "gravity_channel",
                "capacity_m3s": 0.25,
                "use_02": 0.4,
                "heron_nests": 1,
                "observed_on": None,
                GEOMETRY: shapely.Point(100.105, -36.0517),
            },
        ],
        "options": [
            {
                "option_id": "cone",
                "name": "Cone",
                "approach_velocity_ms": 0.1,
                "opening_mm": 2,
                "open_share": 0.5,
                "unit_area_m2": 3,
                "unit_price": 20000,
                "source": "invented",
            },
        ],
        "efficacy": [
            {"option_id": "cone", "guild_id": "dace", "drifter": 0.5, "source": "invented"},
        ],
        "prices": [{"item": "power", "kind": None, "amount": 12000, "source": "invented"}],
    }


def columns_of(rows: list[Row]) -> list[str]:
    """Give the column names of all rows, geometry apart."""
    return list(dict.fromkeys(name for row in rows for name in row if name != GEOMETRY))


def save_csv(rows: list[Row], path: Path, encoding: str = "utf-8") -> None:
    """Save rows as CSV; points become lon and lat."""
    columns = columns_of(rows)
    placed = GEOMETRY in rows[0]
    with path.open("w", encoding=encoding, newline="") as file:
        writer = csv.writer(file)
        writer.writerow(columns + (["lon", "lat"] if placed else []))
        for row in rows:
            cells = [row.get(name) for name in columns]
            writer.writerow(cells + ([row[GEOMETRY].x, row[GEOMETRY].y] if placed else []))


def save_geojson(rows: list[Row], path: Path) -> None:
    """Save rows as GeoJSON in degrees."""
    features = [
        {
            "type": "Feature",
            "properties": {name: row.get(name) for name in columns_of(rows)},
            GEOMETRY: shapely.geometry.mapping(row[GEOMETRY]),
        }
        for row in rows
    ]
    text = json.dumps({"type": "FeatureCollection", "features": features}, default=str)
    path.write_text(text, "utf-8")


def frame_of(rows: list[Row], renames: dict[str, str] | None = None) -> Any:
    """Give rows as a frame, with geometry in EPSG:4326 where they have any."""
    names = renames or {}
    data = {names.get(name, name): [row.get(name) for row in rows] for name in columns_of(rows)}
    frame = pd.DataFrame(data)
    if GEOMETRY not in rows[0]:
        return frame
    return geopandas.GeoDataFrame(frame, geometry=[row[GEOMETRY] for row in rows], crs=4326)


def save_folder(path: Path, *, settings: dict[str, Any] | None = None) -> Path:
    """Save the catchment as GeoJSON and CSV."""
    path.mkdir()
    (path / "catchment.toml").write_text(tomli_w.dumps(settings or SETTINGS), "utf-8")
    for name, rows in tables().items():
        if TABLES[name].shape:
            save_geojson(rows, path / f"{name}.geojson")
        else:
            save_csv(rows, path / f"{name}.csv")
    return path


def save_geopackage(path: Path) -> Path:
    """Save the catchment as one GeoPackage, its settings inside."""
    for name, rows in tables().items():
        pyogrio.write_dataframe(frame_of(rows), path, layer=name, driver="GPKG")
    text = pd.DataFrame({"toml": [tomli_w.dumps(SETTINGS)]})
    pyogrio.write_dataframe(text, path, layer="catchment", driver="GPKG")
    return path


SHORT = {
    "offtakes": {
        "capacity_m3s": "MAX_RATE",
        "chainage_m": "CHAIN",
        "observed_on": "SEEN",
        "heron_nests": "NESTS",
        "landholder": "HOLDER",
    },
    "reaches": {"flow_scale": "FLOWSC", "velocity_coef": "VELCOEF"},
}
"""Contract name -> what fits the ten characters of a DBF column."""


def save_shapefiles(path: Path, encoding: str = "utf-8") -> Path:
    """Save the catchment as Shapefiles with short names, other tables as CSV."""
    save_folder(path, settings=SETTINGS | {"columns": SHORT})
    for name in ("reaches", "gauges", "offtakes"):
        (path / f"{name}.geojson").unlink()
        frame = frame_of(tables()[name], SHORT.get(name))
        pyogrio.write_dataframe(frame, path / f"{name}.shp", encoding=encoding)
    return path


def save_workbook(path: Path) -> Path:
    """Save the catchment as a workbook; lines are left out, as they must be."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "catchment"
    sheet.append(["key", "value"])
    for row in (
        ["name", "Umber Brook"],
        ["crs", "EPSG:4326"],
        ["discount_rate", 0.05],
        ["allocation.2019", 0.8],
        ["ranges.draw.low", 0.9],
        ["ranges.draw.high", 1.2],
        ["criterion.1.column", "heron_nests"],
        ["criterion.1.weight", 0.5],
        ["criterion.1.worst", 0],
        ["criterion.1.best", 4],
    ):
        sheet.append(row)
    for name, rows in tables().items():
        sheet = book.create_sheet(name)
        has_points = TABLES[name].shape == "point"
        columns = columns_of(rows)
        sheet.append(columns + (["lon", "lat"] if has_points else []))
        for row in rows:
            cells = [row.get(column) for column in columns]
            sheet.append(cells + ([row[GEOMETRY].x, row[GEOMETRY].y] if has_points else []))
        for cells in sheet.iter_rows():
            for cell in cells:
                if cell.value == "=1+1":
                    cell.data_type = "s"
    book.save(path)
    return path


def version_of(path: Path) -> str:
    """Read and understand a catchment; its data version, or its faults as text."""
    understood = understand(read_catchment(path))
    if understood.catchment is None:
        return "\n".join(str(fault) for fault in understood.faults)
    return understood.catchment.data_version


def codes(path: Path, **more: Any) -> list[tuple[str, int | None, str]]:
    """Give (table, row, code) of the faults the readers add."""
    return [(f.table, f.row, f.code) for f in read_catchment(path, **more).faults]
