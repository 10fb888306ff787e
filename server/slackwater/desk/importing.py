"""Take a catchment from files into a database, all or nothing, and say what would change."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from uuid import uuid4

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.raw import RawCatchment, RawTable
from slackwater.catchment.table import Table
from slackwater.desk.opening import Opened, opened
from slackwater.errors import Finding, StoreFailed
from slackwater.files.read import read_catchment
from slackwater.files.settings_writing import settings_text
from slackwater.store import (
    SETTINGS,
    Difference,
    Given,
    Relief,
    Standing,
    StoredCatchment,
    difference_from_nothing,
    is_there,
    open_register,
    settings_of,
)

SIDES = ("west", "south", "east", "north")


@dataclass(frozen=True)
class Present:
    """Name and settings of the catchment that stands; they hold on where files bring none.

    A GIS writes layers, not settings; without this its file would set weights and prices' currency
    back to what they are by default.
    """

    name: str
    settings_text: str

    @classmethod
    def of(cls, stored: StoredCatchment) -> Present:
        """Take them from what is in a database."""
        return cls(stored.default_name, stored.settings_text)


@dataclass(frozen=True)
class Imported:
    """What an import did, or would do.

    Attributes
    ----------
    difference : of each table that differs; ``catchment`` stands for the settings.
    standing : where the database stands now; None where nothing was written.
    """

    name: str
    data_version: str
    difference: Mapping[str, Difference]
    warnings: tuple[Finding, ...]
    standing: Standing | None


def import_catchment(
    path: Path, url: str, *, why: str = "", by: str = "lead", dry_run: bool = False
) -> Imported:
    """Put a catchment in place of what a database holds, or make the database.

    Nothing is written where the catchment is at fault, where it does not differ, or where someone
    edits the database between the comparison and the writing.

    Raises
    ------
    InputFaults, UsageError
        As `read_given` and `open_register`.
    EditConflict
        Where the database went on meanwhile.
    """
    with ExitStack() as opened_here:
        register = opened_here.enter_context(closing(open_register(url))) if is_there(url) else None
        given, checked = read_given(path, present=Present.of(register.raw()) if register else None)
        catchment = checked.catchment
        standing: Standing | None = None
        if register is None and dry_run:
            difference = difference_from_nothing(given)
        else:
            if register is None:  # made only once the files are known to be without fault
                register = opened_here.enter_context(closing(open_register(url, create=True)))
            before = register.standing()
            difference = register.difference(given)
            if difference and not dry_run:
                standing = register.replace(
                    given,
                    lambda raw: _same_version(raw, catchment.data_version),
                    edit_id=str(uuid4()),
                    why=why or f"imported from {path.name}",
                    by=by,
                    on_revision=before.revision,
                ).standing
    return Imported(catchment.name, catchment.data_version, difference, checked.warnings, standing)


def _same_version(raw: RawCatchment, data_version: str) -> str:
    """Hold what is about to be written to what was read from the files."""
    found = opened(raw).catchment.data_version
    if found != data_version:
        raise StoreFailed(f"it would be kept as data version {found}, not {data_version}")
    return found


def import_text(done: Imported, *, dry_run: bool) -> str:
    """Tell an import as lines."""
    lines = []
    for name, table in done.difference.items():
        if name == SETTINGS:
            lines.append("settings changed")
            continue
        counts = (("added", table.added), ("removed", table.removed), ("changed", table.changed))
        told = ", ".join(f"{count:,} {word}" for word, count in counts if count)
        lines += [f"{name}: {told}", *(f"  {example}" for example in table.examples)]
    if done.standing:
        lines.append(
            f"{done.name} is in the database: revision {done.standing.revision}, "
            f"data version {done.data_version}"
        )
    elif not done.difference:
        lines.append(f"nothing differs; the database holds data version {done.data_version}")
    elif dry_run:
        lines.append(f"nothing was written; it would be data version {done.data_version}")
    return "\n".join(lines)


def read_given(
    path: Path, *, limit_bytes: int | None = None, present: Present | None = None
) -> tuple[Given, Opened]:
    """Read and check a catchment, and give it as it was given too.

    Parameters
    ----------
    limit_bytes : see `read_catchment`.
    present : whose settings hold on where the files bring none.

    Raises
    ------
    InputFaults
        With every fault at once.
    UsageError
        Where the path is no catchment at all.
    """
    raw = read_catchment(path, limit_bytes=limit_bytes)
    if present and not raw.settings:
        settings = settings_of(present.settings_text)
        raw = replace(raw, settings=settings, default_name=present.name)
    checked = opened(raw)
    return given_of(checked, raw), checked


def given_of(checked: Opened, raw: RawCatchment) -> Given:
    """Give a checked catchment with its blank cells blank again, and places in WGS84."""
    catchment = checked.catchment
    relief = None
    if checked.relief_path:
        west, south, east, north = (float(checked.relief[side]) for side in SIDES)
        relief = Relief(Path(checked.relief_path).read_bytes(), (west, south, east, north))
    return Given(
        tables={name: as_given(table) for name, table in catchment.tables.items()},
        settings_text=settings_text(replace(catchment.settings, crs="")),
        default_name=raw.default_name,
        relief=relief,
    )


def as_given(table: Table) -> RawTable:
    """Give a table's cells as they were given: what was filled with a default is empty again."""
    cells = {
        name: _cells(values, table.defaulted.get(name)) for name, values in table.columns.items()
    }
    geometry = None if table.geometry is None else list(table.geometry)
    rows = tuple(range(1, len(table) + 1))
    return RawTable(table.name, f"table {table.name}", rows, cells, geometry, "EPSG:4326")


def _cells(values: NDArray[np.generic], defaulted: NDArray[np.bool_] | None) -> list[Any]:
    """Give a column as float, str, date or None."""
    cells = values.tolist()
    empty = (
        np.isnan(values)
        if values.dtype.kind == "f"
        else np.array([cell in ("", None) for cell in cells], bool)
    )
    if defaulted is not None:
        empty = empty | defaulted
    return [None if blank else cell for cell, blank in zip(cells, empty, strict=True)]
