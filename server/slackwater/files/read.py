"""What does a catchment say? Reads a folder, a GeoPackage or a workbook, whichever it is."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from slackwater.catchment.raw import RawCatchment
from slackwater.errors import InputFaults, UsageError
from slackwater.files.folder import read_folder
from slackwater.files.geopackage import read_geopackage
from slackwater.files.reading import finding, symbolic_link
from slackwater.files.workbook import read_workbook

DEFAULT_LIMIT_MB = 512.0
LIMIT_VARIABLE = "SLACKWATER_FILE_LIMIT_MB"


def read_catchment(path: Path, *, limit_bytes: int | None = None) -> RawCatchment:
    """Read a catchment as its files say it; nothing is understood or checked yet.

    Parameters
    ----------
    path : a folder of table files, a ``.gpkg`` or an ``.xlsx``.
    limit_bytes : largest size of each file, and of a workbook unpacked; None takes the
        environment variable ``SLACKWATER_FILE_LIMIT_MB`` (1 MB = 1,000,000 bytes), else 512 MB.

    Returns
    -------
    What was read, with what the readers could not accept in ``faults``. A table that was found
    but cannot be read is absent from ``tables`` and named by a fault.

    Raises
    ------
    UsageError
        Where there is nothing at the path, or it is none of the three.
    InputFaults
        Where the path is a symbolic link, a file may not be read, or a GeoPackage or workbook
        cannot be opened at all.
    """
    path = Path(path)
    limit_bytes = file_limit_bytes() if limit_bytes is None else limit_bytes
    if path.is_symlink():
        raise InputFaults([symbolic_link(path, "catchment")])
    if not path.exists():
        raise UsageError(f"there is no catchment at {path}")
    reader = _reader_of(path)
    if reader is None:
        raise UsageError(f"{path} is no catchment; give a folder, a GeoPackage (.gpkg) or an .xlsx")
    try:
        return reader(path, limit_bytes)
    except OSError as error:
        remedy = f"{error.filename or path.name} cannot be opened: {error.strerror or error}"
        raise InputFaults([finding("catchment", "unreadable", remedy)]) from error


def _reader_of(path: Path) -> Callable[[Path, int], RawCatchment] | None:
    if path.is_dir():
        return read_folder
    by_ending = {".gpkg": read_geopackage, ".xlsx": read_workbook}
    return by_ending.get(path.suffix.lower()) if path.is_file() else None


def file_limit_bytes() -> int:
    """Give the size limit the environment sets, else the default.

    Raises
    ------
    UsageError
        Where the variable is not a number above 0.
    """
    text = os.environ.get(LIMIT_VARIABLE, "").strip()
    try:
        limit_mb = float(text) if text else DEFAULT_LIMIT_MB
    except ValueError:
        limit_mb = 0.0
    if not 0 < limit_mb < float("inf"):
        raise UsageError(f"{LIMIT_VARIABLE} must be a number of megabytes above 0, not {text!r}")
    return int(limit_mb * 1_000_000)
