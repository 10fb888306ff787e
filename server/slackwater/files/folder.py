"""What does a folder of table files hold? Finds each table's file and has it read."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import TableSpec
from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.errors import InputFaults
from slackwater.files.csv_table import read_csv_table
from slackwater.files.geojson_table import read_geojson_table
from slackwater.files.geopackage import read_geopackage_table
from slackwater.files.reading import Reading, finding
from slackwater.files.relief import read_relief
from slackwater.files.settings_toml import read_settings_file
from slackwater.files.shapefile_table import SIDECARS, read_shapefile_table

TableReader = Callable[[Path, TableSpec, Reading], RawTable]

READERS: dict[str, TableReader] = {
    ".gpkg": read_geopackage_table,
    ".geojson": read_geojson_table,
    ".shp": read_shapefile_table,
    ".csv": read_csv_table,
}
"""Ending -> reader, in the order in which a table in two formats is taken."""

SETTINGS_FILE = "catchment.toml"


def read_folder(path: Path, limit_bytes: int) -> RawCatchment:
    """Read every table file of a folder; other files are ignored."""
    first = Reading(limit_bytes)
    settings, settings_rows = read_settings_file(path / SETTINGS_FILE, first)
    reading = Reading(limit_bytes, settings, first.faults)
    tables: dict[str, RawTable] = {}
    for name, files in _files_by_table(path).items():
        table = _read_one(files, TABLES[name], reading)
        if table is not None:
            tables[name] = table
    relief_path, relief = read_relief(path, reading)
    return RawCatchment(
        path.resolve().name, settings, settings_rows, tables, tuple(reading.faults),
        relief_path, relief,
    )  # fmt: skip


def _files_by_table(folder: Path) -> dict[str, list[Path]]:
    found: dict[str, list[Path]] = defaultdict(list)
    for path in sorted(folder.iterdir()):
        is_table = path.stem in TABLES and path.suffix.lower() in READERS
        if is_table and (path.is_file() or path.is_symlink()):
            found[path.stem].append(path)
    return {name: found[name] for name in TABLES if name in found}


def _read_one(files: list[Path], spec: TableSpec, reading: Reading) -> RawTable | None:
    """Read a table from its file; where there are two, from the first, with a fault."""
    order = list(READERS)
    files = sorted(files, key=lambda file: order.index(file.suffix.lower()))
    if len(files) > 1:
        names = " and ".join(file.name for file in files)
        remedy = f"{names} both give this table; keep one"
        reading.faults.append(finding(spec.name, "two_formats", remedy, value=names))
    path = files[0]
    try:
        for part in _parts(path):
            reading.require_accepted(part, spec.name)
        return READERS[path.suffix.lower()](path, spec, reading)
    except InputFaults as error:
        reading.faults.extend(error.faults)
        return None


def _parts(path: Path) -> list[Path]:
    """Give the file and, for a Shapefile, those that belong to it."""
    if path.suffix.lower() != ".shp":
        return [path]
    return [
        part for part in sorted(path.parent.iterdir())
        if part.stem == path.stem and part.suffix.lower() in SIDECARS
    ]  # fmt: skip
