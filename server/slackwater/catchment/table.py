"""A table as understood: contract names, typed columns, defaults filled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import TableSpec

Column = NDArray[np.generic]


@dataclass(frozen=True)
class Table:
    """Rows of one table, column by column, in the order of the file.

    Attributes
    ----------
    name : contract name.
    rows : (n,) int64, each row's place as its user sees it.
    columns : every contract column of the table and every kept further numeric column.
        Text, ids and words are object arrays of str, "" where empty; numbers float64, NaN where
        empty without a default; dates datetime64[D], NaT where empty; days of the year "MM-DD".
    defaulted : (n,) bool a column in which an empty cell was given its default; true where so.
    geometry : (n,) object array of shapely geometries in WGS84 longitude, latitude (a line's
        parts joined), None a row that has none; None where no row has one.
    """

    name: str
    rows: NDArray[np.int64]
    columns: Mapping[str, NDArray[np.generic]]
    geometry: NDArray[np.object_] | None = None
    defaulted: Mapping[str, NDArray[np.bool_]] = field(default_factory=dict)

    def __len__(self) -> int:
        """Count rows."""
        return len(self.rows)

    @property
    def spec(self) -> TableSpec:
        """The table's description."""
        return TABLES[self.name]

    def number(self, column: str) -> NDArray[np.float64]:
        """Give a numeric column, float64 (n,)."""
        values: NDArray[np.float64] = self.columns[column]  # type: ignore[assignment]
        return values

    def text(self, column: str) -> NDArray[np.object_]:
        """Give a text, id or word column, object (n,) of str."""
        values: NDArray[np.object_] = self.columns[column]  # type: ignore[assignment]
        return values

    def date(self, column: str) -> NDArray[np.datetime64]:
        """Give a date column, datetime64[D] (n,)."""
        values: NDArray[np.datetime64] = self.columns[column]  # type: ignore[assignment]
        return values

    @cached_property
    def index(self) -> dict[str, int]:
        """Position of each row by its key, the parts of a longer key joined by ``/``."""
        return {key: position for position, key in enumerate(self.keys)}

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Each row's key as text."""
        parts = [map(str, self.columns[name].tolist()) for name in self.spec.key]
        return tuple(map("/".join, zip(*parts, strict=True)))


def empty_table(name: str) -> Table:
    """Give a table without rows, for one that may be missing."""
    columns: dict[str, NDArray[np.generic]] = {}
    for described in TABLES[name].fields:
        if described.is_number:
            columns[described.name] = np.zeros(0)
        elif described.kind == "date":
            columns[described.name] = np.zeros(0, "datetime64[D]")
        else:
            columns[described.name] = np.zeros(0, object)
    return Table(name, np.zeros(0, np.int64), columns)
