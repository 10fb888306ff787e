"""Write what a database holds as files that people and other programs can open."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.fields import Shape
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table
from slackwater.desk.opening import opened
from slackwater.errors import StoreFailed, UsageError
from slackwater.files.read import read_catchment
from slackwater.files.relief_writing import write_relief
from slackwater.files.write import write_folder, write_geopackage, write_workbook
from slackwater.store import Relief, open_register

Write = Callable[[Mapping[str, Table], Settings, Path], None]
LINES = (Shape.LINE, Shape.POLYGON)
BY_ENDING: dict[str, Write] = {".gpkg": write_geopackage, ".xlsx": write_workbook}


@dataclass(frozen=True)
class Exported:
    """What was written.

    Attributes
    ----------
    data_version : of the data in the database.
    read_back : of the file, read again; another one for a workbook, which holds no lines.
    relief_written : whether the picture of the relief lies with it.
    """

    name: str
    data_version: str
    read_back: str
    relief_written: bool


def export_database(url: str, out: Path, *, data_version: str = "") -> Exported:
    """Write a database's catchment as a GeoPackage, a workbook or a folder, and read it back.

    Empty cells stay empty; private columns are written too.

    Parameters
    ----------
    out : ends in .gpkg or .xlsx, or has no ending: a folder.
    data_version : of an edition that was kept, such as from before an import; "" for what stands.

    Raises
    ------
    UsageError
        Where it cannot be written there.
    NotHere
        Where no data of that version was kept.
    """
    write = _writer(out)
    with closing(open_register(url)) as register:
        raw = register.edition(data_version) if data_version else register.raw()
        relief = register.relief()
    catchment = opened(raw).catchment
    tables = {name: _as_given(table) for name, table in catchment.tables.items()}
    if write is write_workbook:
        tables = _without_lines(catchment, tables)
    write(tables, catchment.settings, out)
    read_back = opened(read_catchment(out)).catchment.data_version
    if write is not write_workbook and read_back != catchment.data_version:
        raise StoreFailed(f"{out} reads back as data version {read_back}: do not use it")
    relief_written = write is not write_workbook and _with_relief(relief, out)
    return Exported(catchment.name, catchment.data_version, read_back, relief_written)


def export_text(done: Exported, out: Path) -> str:
    """Tell an export as lines."""
    lines = [f"wrote {out}: {done.name}, data version {done.read_back}"]
    if done.read_back != done.data_version:
        lines.append(
            f"a workbook holds no lines and areas, so its data version is its own (the database "
            f"has {done.data_version}): roads and land are left out; lengths, reaches and "
            "chainages are filled in, so that it can be read again"
        )
    lines.append(
        "it holds private columns (landholder, licence, contact, quote, place): "
        "keep it within the agency"
    )
    return "\n".join(lines)


def _writer(out: Path) -> Write:
    if not out.suffix:
        return write_folder
    if out.suffix.lower() not in BY_ENDING:
        raise UsageError(f"{out.name}: give a name ending in .gpkg or .xlsx, or a new folder")
    return BY_ENDING[out.suffix.lower()]


def _as_given(table: Table) -> Table:
    """Empty the cells that were filled with a default."""
    columns = dict(table.columns)
    for name, filled in table.defaulted.items():
        columns[name] = _emptied(columns[name], filled)
    return replace(table, columns=columns, defaulted={})


def _emptied(values: NDArray[np.generic], filled: NDArray[np.bool_]) -> NDArray[np.generic]:
    emptied = values.copy()
    emptied[filled] = np.nan if values.dtype.kind == "f" else ""
    return emptied


def _without_lines(catchment: Catchment, tables: Mapping[str, Table]) -> dict[str, Table]:
    """Give the tables as sheets can carry them, with what the rivers' lines told filled in."""
    reaches, offtakes = tables["reaches"], tables["offtakes"]
    lengths = {"length_m": catchment.length_m}
    places = {
        "reach_id": reaches.text("reach_id")[catchment.reach_index],
        "chainage_m": catchment.chainage_m,
    }
    carried = {name: table for name, table in tables.items() if table.spec.shape not in LINES}
    return {
        **carried,
        "reaches": replace(reaches, columns={**reaches.columns, **lengths}, geometry=None),
        "offtakes": replace(offtakes, columns={**offtakes.columns, **places}),
    }


def _with_relief(relief: Relief | None, out: Path) -> bool:
    """Lay the picture into the folder, or beside the file where there is none yet."""
    if relief is None:
        return False
    return write_relief(out if out.is_dir() else out.parent, relief.png, relief.bounds)
