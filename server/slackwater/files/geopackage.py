"""What does a GeoPackage say? One layer a table, rows known by their fid."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pyogrio import list_layers
from pyogrio.raw import read_arrow

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import TableSpec
from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.errors import InputFaults
from slackwater.files.layer_table import read_layer
from slackwater.files.reading import Reading, finding
from slackwater.files.relief import read_relief
from slackwater.files.settings_toml import parse_settings, read_settings_file

START = b"SQLite format 3\x00"
SETTINGS_LAYER = "catchment"
SETTINGS_COLUMN = "toml"


def read_geopackage(path: Path, limit_bytes: int) -> RawCatchment:
    """Read a whole catchment from one GeoPackage; layers without a contract name are ignored.

    The settings stand beside it in ``NAME.toml`` or inside, in layer ``catchment``, column
    ``toml``. The picture of the relief stands beside it.

    Raises
    ------
    InputFaults
        Where the file is too large or no GeoPackage.
    """
    first = Reading(limit_bytes)
    first.require_accepted(path, "catchment")
    layers = layer_names(path, "catchment")
    settings, settings_rows = _settings(path, layers, first)
    reading = Reading(limit_bytes, settings, first.faults)
    tables: dict[str, RawTable] = {}
    for name, spec in TABLES.items():
        if name not in layers:
            continue
        try:
            tables[name] = read_layer(path, spec, reading, layer=name)
        except InputFaults as error:
            reading.faults.extend(error.faults)
    relief_path, relief = read_relief(path.parent, reading)
    return RawCatchment(
        path.stem, settings, settings_rows, tables, tuple(reading.faults), relief_path, relief
    )


def read_geopackage_table(path: Path, spec: TableSpec, reading: Reading) -> RawTable:
    """Read one table from a GeoPackage of its own: the layer of its name, else the only one.

    Raises
    ------
    InputFaults
        ``unreadable``, where the file is no GeoPackage or has no such layer.
    """
    layers = layer_names(path, spec.name)
    if spec.name not in layers and len(layers) != 1:
        remedy = f"{path.name} needs a layer {spec.name}"
        raise InputFaults([finding(spec.name, "unreadable", remedy, value=", ".join(layers))])
    layer = spec.name if spec.name in layers else layers[0]
    return read_layer(path, spec, reading, layer=layer)


def layer_names(path: Path, table: str) -> list[str]:
    """List a GeoPackage's layers.

    Raises
    ------
    InputFaults
        ``unreadable``, where it is none.
    """
    # Looked at first: another kind of file under this ending could send the library elsewhere.
    with path.open("rb") as file:
        is_database = file.read(len(START)) == START
    problem = "it does not start as one"
    if is_database:
        try:
            return [str(name) for name, _ in list_layers(path)]
        except (RuntimeError, ValueError, OSError) as error:
            problem = str(error)
    remedy = f"{path.name} is not a GeoPackage ({problem})"
    raise InputFaults([finding(table, "unreadable", remedy)])


def _settings(
    path: Path, layers: list[str], reading: Reading
) -> tuple[Mapping[str, Any], Mapping[str, int]]:
    beside = path.with_suffix(".toml")
    has_file = beside.is_file() or beside.is_symlink()
    if has_file and SETTINGS_LAYER in layers:
        remedy = f"{beside.name} and layer {SETTINGS_LAYER} both give the settings; keep one"
        reading.faults.append(finding("catchment", "two_formats", remedy, value=beside.name))
    if has_file:
        return read_settings_file(beside, reading)
    if SETTINGS_LAYER not in layers:
        return {}, {}
    try:
        return parse_settings(_settings_text(path), f"layer {SETTINGS_LAYER}")
    except InputFaults as error:
        reading.faults.extend(error.faults)
        return {}, {}


def _settings_text(path: Path) -> str:
    try:
        meta, table = read_arrow(path, layer=SETTINGS_LAYER, read_geometry=False)
        is_there = SETTINGS_COLUMN in list(meta["fields"])
        texts = table.column(SETTINGS_COLUMN).to_pylist() if is_there else []
    except (RuntimeError, ValueError, OSError) as error:
        remedy = f"layer {SETTINGS_LAYER} cannot be read ({error})"
        raise InputFaults([finding("catchment", "unreadable", remedy)]) from error
    if len(texts) != 1 or not isinstance(texts[0], str):
        remedy = (
            f"layer {SETTINGS_LAYER} needs one row with the settings as TOML text "
            f"in column {SETTINGS_COLUMN}"
        )
        raise InputFaults([finding("catchment", "unreadable", remedy)])
    return texts[0]
