"""A table on its way to being understood: typed cells, and which of them cannot be relied on.

One mistake should give one fault. So each cell at fault is remembered, and a later check leaves
out every row it cannot judge for that reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.fields import TableSpec
from slackwater.catchment.findings import Findings, shown
from slackwater.catchment.table import Table
from slackwater.catchment.wording import plain_text
from slackwater.errors import Finding

GEOMETRY = "geometry"
"""Stands for the row's place where a column is named."""

Mask = NDArray[np.bool_]


@dataclass
class Draft:
    """One table under scrutiny.

    Attributes
    ----------
    rows : (n,) int64, each row's place as its user sees it.
    raw : contract name -> cells as read, for the columns the file has.
    columns : contract name -> typed column, every contract column present.
    geometry : (n,) shapely geometries in WGS84 or None; None where no row has one.
    readable : false where the table is missing or its keys cannot be known.
    bad : column -> (n,) bool, cells at fault.
    dropped : (n,) bool, rows whose key was there before.
    links : column -> (n,) int64, position of the row referred to, -1 for none or unknown.
    """

    spec: TableSpec
    findings: Findings
    rows: NDArray[np.int64]
    raw: dict[str, Sequence[Any]]
    columns: dict[str, NDArray[np.generic]]
    readable: bool = True
    geometry: NDArray[np.object_] | None = None
    bad: dict[str, Mask] = field(default_factory=dict)
    dropped: Mask = field(init=False)
    links: dict[str, NDArray[np.int64]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Begin with no row dropped."""
        self.dropped = np.zeros(len(self.rows), bool)

    def __len__(self) -> int:
        """Count rows."""
        return len(self.rows)

    @property
    def name(self) -> str:
        """Contract name."""
        return self.spec.name

    def number(self, column: str) -> NDArray[np.float64]:
        """Give a numeric column, NaN where empty or bad."""
        values: NDArray[np.float64] = self.columns[column]  # type: ignore[assignment]
        return values

    def text(self, column: str) -> NDArray[np.object_]:
        """Give a text, id or word column, "" where empty or bad."""
        values: NDArray[np.object_] = self.columns[column]  # type: ignore[assignment]
        return values

    def date(self, column: str) -> NDArray[np.datetime64]:
        """Give a date column, NaT where empty or bad."""
        values: NDArray[np.datetime64] = self.columns[column]  # type: ignore[assignment]
        return values

    @cached_property
    def index(self) -> dict[str, int]:
        """First position of each id; for tables with one key column."""
        ids = self.text(self.spec.key[0])
        first: dict[str, int] = {}
        for position, each in enumerate(ids):
            if each:
                first.setdefault(each, position)
        return first

    def sound(self, *columns: str) -> Mask:
        """(n,) true where none of these cells is at fault and the row is no repetition."""
        good = ~self.dropped
        for column in columns:
            if column in self.bad:
                good &= ~self.bad[column]
        return good

    def all_sound(self, *columns: str) -> bool:
        """Whether the table is there and no cell of these columns is at fault."""
        return self.readable and bool(self.sound(*columns).all())

    def mark_bad(self, position: int, column: str) -> None:
        """Remember a cell as one that cannot be relied on."""
        self.bad.setdefault(column, np.zeros(len(self), bool))[position] = True

    def fault(self, position: int, column: str, code: str, remedy: str) -> None:
        """Add a fault of one cell and remember it."""
        self.mark_bad(position, column)
        self.findings.fault(self.finding(position, column, code, remedy))

    def warn(self, position: int, column: str, code: str, remedy: str) -> None:
        """Add a warning about one cell."""
        self.findings.warn(self.finding(position, column, code, remedy))

    def fault_whole(self, code: str, remedy: str, column: str = "", value: str = "") -> None:
        """Add a fault of the table as a whole."""
        self.findings.fault(Finding(self.name, None, "", column, value, code, remedy))

    def finding(self, position: int, column: str, code: str, remedy: str) -> Finding:
        """Name a cell as its user sees it."""
        value = shown(self.cell(position, column))
        row = int(self.rows[position])
        return Finding(self.name, row, self.key_text(position), column, value, code, remedy)

    def cell(self, position: int, column: str) -> Any:
        """Give a cell as it was read, None where the file has no such column."""
        cells = self.raw.get(column)
        return None if cells is None else cells[position]

    def key_text(self, position: int) -> str:
        """Give the row's key as it was read, parts joined by ``/``."""
        parts = [plain_text(self.cell(position, name)).strip() for name in self.spec.key]
        return shown("/".join(parts)) if any(parts) else ""

    def table(self) -> Table:
        """Give the table as understood; only where there was no fault."""
        empty = {f.name: self.empty(f.name) for f in self.spec.fields if f.default is not None}
        defaulted = {name: mask for name, mask in empty.items() if mask.any()}
        return Table(self.name, self.rows, self.columns, self.geometry, defaulted)

    def empty(self, column: str) -> Mask:
        """(n,) whether nothing was given; all where the file has no such column."""
        cells = self.raw.get(column)
        if cells is None:
            return np.ones(len(self), bool)
        return np.array([cell is None or not str(cell).strip() for cell in cells], bool)
