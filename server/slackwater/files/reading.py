"""What is known while one catchment is being read: its settings, the size limit, faults so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from slackwater.catchment.fields import TableSpec
from slackwater.catchment.wording import plain_text
from slackwater.errors import Finding, InputFaults


def finding(
    table: str,
    code: str,
    remedy: str,
    *,
    row: int | None = None,
    key: str = "",
    column: str = "",
    value: str = "",
) -> Finding:
    """Give a fault; only what is known of its place need be said."""
    return Finding(table, row, key, column, value, code, remedy)


@dataclass(frozen=True)
class Reading:
    """One reading of one catchment; the readers of single tables share it.

    Attributes
    ----------
    limit_bytes : largest size of a file, and of a workbook unpacked.
    settings : as the settings file gives them, unchecked.
    faults : grows while tables are read.
    """

    limit_bytes: int
    settings: Mapping[str, Any] = field(default_factory=dict)
    faults: list[Finding] = field(default_factory=list)

    def name_in_file(self, table: str, column: str) -> str:
        """Give the agency's name of a column (``[columns.TABLE]``), else the contract's."""
        columns = self.settings.get("columns")
        renames = columns.get(table) if isinstance(columns, Mapping) else None
        name = renames.get(column) if isinstance(renames, Mapping) else None
        return name if isinstance(name, str) and name else column

    @property
    def crs(self) -> str:
        """The reference system the settings name, "" where they name none."""
        crs = self.settings.get("crs", "")
        return crs if isinstance(crs, str) else ""

    def encoding(self, table: str) -> str:
        """Give the encoding the settings name for a table, "" where they name none.

        Raises
        ------
        InputFaults
            Where the name is not that of a text encoding.
        """
        named = self.settings.get("encoding")
        if not isinstance(named, Mapping):
            return ""
        key = table if table in named else "all"
        if key not in named:
            return ""
        name = named[key]
        if isinstance(name, str) and is_encoding(name):
            return name
        remedy = 'give a known encoding such as "utf-8" or "cp1252"'
        raise InputFaults(
            [finding("catchment", "encoding", remedy, column=f"encoding.{key}", value=str(name))]
        )

    def key_of(self, spec: TableSpec, cells: Mapping[str, Sequence[Any]], position: int) -> str:
        """Give a row's key as text, empty where a part of it is empty or its column missing."""
        parts = [cells.get(self.name_in_file(spec.name, name)) for name in spec.key]
        values = [part[position] if part is not None else None for part in parts]
        if any(value is None or value == "" for value in values):
            return ""
        return "/".join(plain_text(value) for value in values)

    def require_accepted(self, path: Path, table: str) -> None:
        """Refuse a file that may not be opened.

        Raises
        ------
        InputFaults
            ``symbolic_link`` or ``too_large``.
        """
        if path.is_symlink():
            raise InputFaults([symbolic_link(path, table)])
        size_bytes = path.stat().st_size
        if size_bytes > self.limit_bytes:
            raise InputFaults([too_large(path.name, table, size_bytes, self.limit_bytes)])


def is_encoding(name: str) -> bool:
    """Whether Python knows a text encoding of that name."""
    try:
        b"a".decode(name)
    except UnicodeError:
        return True
    except (LookupError, ValueError):
        return False
    return True


def symbolic_link(path: Path, table: str) -> Finding:
    """Give the fault of a file that only points to another."""
    remedy = f"{path.name} is a symbolic link; put the file itself there"
    return finding(table, "symbolic_link", remedy, value=path.name)


def too_large(name: str, table: str, size_bytes: int, limit_bytes: int) -> Finding:
    """Give the fault of a file above the limit."""
    remedy = (
        f"{name} has {size_bytes / 1e6:,.1f} MB, the limit is {limit_bytes / 1e6:,.1f} MB; "
        "leave out what is not needed or raise SLACKWATER_FILE_LIMIT_MB"
    )
    return finding(table, "too_large", remedy, value=str(size_bytes))
