"""What does a file say, before anyone understands it? Cells as read, with their place.

Readers in ``files`` make these; nothing here is checked beyond what a format itself enforces.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from slackwater.errors import Finding

UNREADABLE: Any = object()
"""Stands in ``RawTable.geometry`` for a geometry whose fault the reader has already reported."""


@dataclass(frozen=True)
class RawTable:
    """One table as found in a file, layer or sheet.

    Attributes
    ----------
    name : contract name of the table.
    found_in : file, layer or sheet name, for messages.
    rows : place of each row as its user sees it (line, feature number or fid).
    cells : column name as in the file -> a cell a row (str, int, float, bool, date, None).
        An empty cell is None or "".
    geometry : shapely geometries or None a row; None where the format carries no geometry.
        Coordinates are in ``crs``.
    crs : anything pyproj understands; "" where the source names none.
    """

    name: str
    found_in: str
    rows: tuple[int, ...]
    cells: Mapping[str, Sequence[Any]]
    geometry: Sequence[Any] | None = None
    crs: str = ""


@dataclass(frozen=True)
class RawCatchment:
    """Everything read from a folder, GeoPackage or workbook.

    Attributes
    ----------
    default_name : the folder's name, or the file's without its ending.
    settings : the settings as nested plain values, as TOML gives them.
    settings_rows : dotted key -> line (TOML) or row (sheet), where known.
    tables : contract name -> table.
    faults : what the readers themselves could not accept (two formats of one table, a symbolic
        link, a file too large, an unreadable encoding, ...).
    relief_path : path text of the relief picture, "" where there is none (with its bounds in
        ``relief``: west, south, east, north in degrees).
    """

    default_name: str
    settings: Mapping[str, Any]
    settings_rows: Mapping[str, int]
    tables: Mapping[str, RawTable]
    faults: tuple[Finding, ...] = ()
    relief_path: str = ""
    relief: Mapping[str, float] = field(default_factory=dict)
