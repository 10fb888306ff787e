"""One table while it is being changed: rows found by key, put, added and removed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackwater.catchment.contract import TABLES
from slackwater.catchment.raw import RawTable
from slackwater.catchment.wording import plain_text
from slackwater.errors import UsageError
from slackwater.store.records import GEOMETRY
from slackwater.store.stored import keys_of, raw_table


class OpenedTable:
    """A copy of a table; rows keep the key they had when it was opened.

    Attributes
    ----------
    touched : numbers of the rows that were added, changed or removed.
    """

    def __init__(self, table: RawTable) -> None:
        self.spec = TABLES[table.name]
        self.touched: set[int] = set()
        self._table, self._put_into, self._rows_moved = table, set[str](), False
        self._rows = list(table.rows)
        self._cells = {name: list(column) for name, column in table.cells.items()}
        places = table.geometry
        self._places = [None] * len(self._rows) if places is None else list(places)
        self._at: dict[str, int] = {}
        self._several: set[str] = set()
        for position, key in enumerate(keys_of(table)):
            if key in self._at:
                self._several.add(key)
            self._at[key] = position
        self._removed: set[int] = set()

    def holds(self, key: str) -> bool:
        """Whether there is a row of this key."""
        return key in self._at

    def cell(self, key: str, column: str) -> Any:
        """Give a cell, None where it is empty."""
        position = self._position(key)
        if column == GEOMETRY:
            return self._places[position]
        cells = self._cells.get(column)
        return None if cells is None else cells[position]

    def row(self, key: str) -> dict[str, Any]:
        """Give a row's filled cells, its place among them."""
        position = self._position(key)
        cells = {name: column[position] for name, column in self._cells.items()}
        cells[GEOMETRY] = self._places[position]
        return {name: cell for name, cell in cells.items() if cell is not None}

    def put(self, key: str, column: str, value: Any) -> None:
        """Replace a cell."""
        self._put(self._position(key), column, value)

    def remove(self, key: str) -> None:
        """Take a row out."""
        position = self._position(key)
        self._rows_moved = True
        self._removed.add(position)
        self.touched.add(self._rows[position])
        del self._at[key]

    def key_of_new(self, asked: str, cells: Mapping[str, Any]) -> str:
        """Give the key a new row will have.

        Raises
        ------
        UsageError
            Where its cells say another key than was asked for.
        """
        if not self.spec.key:
            if asked and not asked.isdecimal():
                raise UsageError(f"rows of {self.spec.name} have no key but their number")
            return asked or str(max(self._rows, default=0) + 1)
        key = "/".join(plain_text(cells.get(name)) for name in self.spec.key)
        if asked not in ("", key):
            raise UsageError(f"{self.spec.name}: the new row's key is {key!r}, not {asked!r}")
        return key

    def add(self, key: str, cells: Mapping[str, Any]) -> None:
        """Put a row at the end."""
        self._rows_moved = True
        number = max(self._rows, default=0) + 1 if self.spec.key else int(key)
        position = len(self._rows)
        self._rows.append(number)
        self._places.append(None)
        for column in self._cells.values():
            column.append(None)
        for name, value in cells.items():
            self._put(position, name, value)
        self.touched.add(number)
        self._at[key] = position

    def closed(self) -> RawTable:
        """Give the table as it is now, rows in the order of their numbers.

        A column that was left as it is stays the same object: what was understood of it holds.
        """
        if not self._rows_moved:
            put = {name: self._cells[name] for name in self._put_into - {GEOMETRY}}
            places = self._places if GEOMETRY in self._put_into else self._table.geometry
            return raw_table(self.spec.name, self._table.rows, {**self._table.cells, **put}, places)
        kept = [i for i in range(len(self._rows)) if i not in self._removed]
        kept.sort(key=self._rows.__getitem__)
        cells = {name: [column[i] for i in kept] for name, column in self._cells.items()}
        places = [self._places[i] for i in kept]
        return raw_table(self.spec.name, [self._rows[i] for i in kept], cells, places)

    def _put(self, position: int, column: str, value: Any) -> None:
        self.touched.add(self._rows[position])
        self._put_into.add(column)
        if column == GEOMETRY:
            self._places[position] = value
            return
        if column not in self._cells:
            self._cells[column] = [None] * len(self._rows)
        self._cells[column][position] = value

    def _position(self, key: str) -> int:
        if key in self._several:
            raise UsageError(f"several rows of {self.spec.name} have the key {key!r}")
        if key not in self._at:
            raise UsageError(f"there is no row {key!r} in {self.spec.name}, or not any more")
        return self._at[key]
