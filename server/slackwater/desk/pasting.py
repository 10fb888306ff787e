"""What would rows pasted from a spreadsheet change? Worked out and checked, nothing written."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Field, Shape, TableSpec
from slackwater.catchment.raw import RawTable
from slackwater.catchment.wording import needs, plain_text
from slackwater.desk.editing import findings_of
from slackwater.desk.opening import opened
from slackwater.desk.row_shown import cells_of, fields_of, place_of_key
from slackwater.desk.working import Newest, Working
from slackwater.errors import Finding, InputFaults, UsageError
from slackwater.files.formula_marks import unmarked
from slackwater.store import GEOMETRY, Change, with_changes
from slackwater.store.values import stored_cell, told_value

LON, LAT = "lon", "lat"
SAME_PLACE_DEG = 5e-7
"""Places closer than this, some 5 cm, are one: a spreadsheet shows fewer digits."""
MOST_ROWS = 20_000


@dataclass
class Pasted:
    """Pasted rows held against a table, and what they would change.

    Attributes
    ----------
    fields : the table's columns by name.
    line_of_key : key -> line of the paste that names it.
    """

    newest: Newest
    spec: TableSpec
    raw: RawTable
    fields: Mapping[str, Field]
    changes: list[Change] = field(default_factory=list)
    line_of_key: dict[str, int] = field(default_factory=dict)
    faults: list[Finding] = field(default_factory=list)
    unchanged_rows: int = 0
    new_rows: int = 0

    def take(self, line: int, named: Mapping[str, str]) -> None:
        """Add what one row changes; ``named`` are its cells by column."""
        new = {
            name: told_value(stored_cell(self.fields[name], cell))
            for name, cell in named.items()
            if name in self.fields
        }
        key = self._key(line, new)
        if key is None:
            return
        if LON in named and LAT in named:
            new[GEOMETRY] = self._place(line, key, named)
        position = place_of_key(self.newest.opened.catchment, self.spec.name, key)
        if position is None:
            filled = {name: value for name, value in new.items() if value is not None}
            self.changes.append(Change(self.spec.name, key, "", None, filled))
            self.new_rows += 1
            return
        old = cells_of(self.fields.values(), self.spec, self.raw, position)
        changes = [
            Change(self.spec.name, key, name, old[name], value)
            for name, value in new.items()
            if name not in self.spec.key and not _alike(old[name], value)
        ]
        self.changes += changes
        self.unchanged_rows += not changes

    def fault(
        self, line: int, key: str, column: str, code: str, remedy: str, value: str = ""
    ) -> None:
        """Add a fault of the text itself."""
        self.faults.append(Finding(self.spec.name, line, key, column, value[:200], code, remedy))

    def _key(self, line: int, new: Mapping[str, Any]) -> str | None:
        """Give the row's key, None where it has none or it was there before."""
        for name in self.spec.key:
            if new.get(name) is None and self.fields[name].needed:
                self.fault(line, "", name, "empty_cell", f"fill it: {needs(self.fields[name])}")
                return None
        key = "/".join(plain_text(new.get(name)) for name in self.spec.key)
        if key in self.line_of_key:
            remedy = f"line {self.line_of_key[key]} has this row already; keep one"
            self.fault(line, key, self.spec.key[0], "pasted_twice", remedy)
            return None
        self.line_of_key[key] = line
        return key

    def _place(self, line: int, key: str, named: Mapping[str, str]) -> list[float] | None:
        texts = [named[LON].strip(), named[LAT].strip()]
        if not any(texts):
            return None
        try:
            lon, lat = map(float, texts)
        except ValueError:
            lon = lat = float("nan")
        if -180 <= lon <= 180 and -90 <= lat <= 90:
            return [lon, lat]
        remedy = "lon and lat as degrees, longitude first"
        self.fault(line, key, GEOMETRY, "geometry_invalid", remedy, " ".join(texts))
        return None


def paste_preview(working: Working, table: str, text: str) -> dict[str, Any]:
    """Say what pasted rows would change, and whether the catchment would be without fault.

    Parameters
    ----------
    text : a header of contract column names with the key among them, then rows; columns parted
        by tabs as a spreadsheet gives them, else by commas. An empty cell blanks.

    Raises
    ------
    UsageError
        Where the table is unknown or has no key, or the header does not name the key.
    """
    spec = TABLES.get(table)
    if spec is None or not spec.key:
        named = ", ".join(name for name, each in TABLES.items() if each.key)
        raise UsageError(f"rows can be pasted into {named}; {table[:60]!r} is none of them")
    newest = working.newest()
    header, lines = _lines_of(text, spec)
    raw = newest.raw.tables.get(table) or RawTable(table, table, (), {})
    pasted = Pasted(newest, spec, raw, {each.name: each for each in fields_of(spec, raw)})
    places = (LON, LAT) if spec.shape is Shape.POINT and {LON, LAT} <= set(header) else ()
    wanted = {*pasted.fields, *places}
    for line, cells in lines:
        if any(cell.strip() for cell in cells[len(header) :]):
            remedy = "it has more cells than the first line names columns"
            pasted.fault(line, "", "", "ragged_row", remedy, cells[len(header)])
        of_line = zip(header, cells, strict=False)
        pasted.take(line, {name: cell for name, cell in of_line if name in wanted})
    faults, warnings = _outcome(pasted)
    return {
        "changes": [asdict(change) for change in pasted.changes],
        "unknown_columns": [name for name in header if name and name not in wanted],
        "unchanged_rows": pasted.unchanged_rows,
        "new_rows": pasted.new_rows,
        "findings": findings_of([*pasted.faults, *faults]),
        "warnings": findings_of(warnings),
    }


def _lines_of(text: str, spec: TableSpec) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Part the text into its header and numbered rows."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    mark = "\t" if "\t" in first else ","
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""), delimiter=mark)
    try:
        rows = [
            (reader.line_num, [unmarked(cell) for cell in cells])
            for cells in reader
            if any(map(str.strip, cells))
        ]
    except csv.Error as error:
        raise UsageError(f"the text cannot be parted into cells: {error}") from error
    header = [name.strip() for name in rows[0][1]] if rows else []
    missing = [name for name in spec.key if name not in header]
    if missing:
        raise UsageError(
            f"the first line must name the columns, {', '.join(spec.key)} among them; "
            f"it lacks {', '.join(missing)}"
        )
    twice = sorted({name for name in header if name and header.count(name) > 1})
    if twice:
        raise UsageError(f"the first line names {', '.join(twice)} more than once")
    if len(rows) - 1 > MOST_ROWS:
        raise UsageError(f"at most {MOST_ROWS:,} rows at once; use slackwater import for more")
    return header, rows[1:]


def _alike(old: Any, new: Any) -> bool:
    if isinstance(old, list) and isinstance(new, list):
        return all(abs(a - b) < SAME_PLACE_DEG for a, b in zip(old, new, strict=True))
    return type(old) is type(new) and bool(old == new)


def _outcome(pasted: Pasted) -> tuple[list[Finding], list[Finding]]:
    """Give faults and warnings of the touched rows, were the changes made."""
    try:
        found = opened(with_changes(pasted.newest.raw, pasted.changes)).warnings
    except InputFaults as refused:
        return [_at_line(fault, pasted) for fault in refused.faults], []
    touched = {(change.table, change.key) for change in pasted.changes}
    return [], [_at_line(each, pasted) for each in found if (each.table, each.key) in touched]


def _at_line(found: Finding, pasted: Pasted) -> Finding:
    """Give a finding with the line of the paste as its row."""
    return replace(found, row=pasted.line_of_key.get(found.key, found.row))
