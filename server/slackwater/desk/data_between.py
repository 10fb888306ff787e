"""What changed in the data between two versions of it, offtake by offtake?

Both versions are kept whole, since a case rests on each; so what changed is told from them, and the
history adds who gave the newer value and why, where it knows.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from slackwater.desk.case_words import joined, offtake_count
from slackwater.store import Change, Past, Register
from slackwater.store.differences import changes_between
from slackwater.store.records import GEOMETRY, SETTINGS
from slackwater.store.values import told_change

OFFTAKES = "offtakes"
EDITS_LOOKED_AT = 50
CODES_TOLD = 8


@dataclass(frozen=True)
class CellBetween:
    """One cell of an offtake that is another, values as given; ``because`` is the history's."""

    column: str
    before: Any
    after: Any
    because: str = ""

    def __str__(self) -> str:
        """Say it plainly."""
        words = "its place"
        if self.column != GEOMETRY:
            words = f"{self.column} {_written(self.before)} → {_written(self.after)}"
        return f"{words} ({self.because})" if self.because else words


@dataclass(frozen=True)
class DataBetween:
    """What is another between two data versions.

    Attributes
    ----------
    told : sentences about it; none where both are the same.
    cells : code -> its cells that are another, of those asked for that both versions have.
    """

    one: str
    other: str
    told: tuple[str, ...] = ()
    cells: Mapping[str, tuple[CellBetween, ...]] = field(default_factory=dict)

    @property
    def same(self) -> bool:
        """Whether both rest on the same data."""
        return self.one == self.other


def data_between(register: Register, one: str, other: str, codes: Collection[str]) -> DataBetween:
    """Compare two versions that are kept.

    Parameters
    ----------
    codes : of the offtakes whose cells are asked for.

    Raises
    ------
    NotHere
        Where one of them is not kept.
    """
    if one == other:
        return DataBetween(one, other)
    found = changes_between(register.edition(one), register.edition(other))
    told = [f"The data is another: version {one} → {other}."]
    cells, others = {}, []
    for table, changes in found.items():
        if table == OFFTAKES:
            told += _moved(changes)
            cells = _cells(register, [each for each in changes if each.key in codes])
        else:
            others.append("the settings" if table == SETTINGS else table.replace("_", " "))
    if others:
        told.append(f"Also changed: {joined(others)}.")
    return DataBetween(one, other, tuple(told), cells)


def _moved(changes: Iterable[Change]) -> Iterator[str]:
    """Say which offtakes changed, came and went."""
    kinds: dict[str, dict[str, None]] = {"changed": {}, "added": {}, "taken out": {}}
    for each in changes:
        what = "changed" if each.column else "added" if each.old is None else "taken out"
        kinds[what][each.key] = None
    for what, codes in kinds.items():
        if codes:
            shown, more = list(codes)[:CODES_TOLD], len(codes) - CODES_TOLD
            named = joined([*shown, f"{more} more"] if more > 0 else shown)
            yield f"{offtake_count(len(codes))} {what}: {named}."


def _cells(register: Register, changes: Iterable[Change]) -> dict[str, tuple[CellBetween, ...]]:
    """Give code -> its cells that are another, each with the history's reason."""
    by_code: dict[str, list[Change]] = {}
    for each in changes:
        if each.column:
            by_code.setdefault(each.key, []).append(told_change(each))
    cells = {}
    for code, changed in by_code.items():
        history = register.history(table=OFFTAKES, key=code, limit=EDITS_LOOKED_AT)
        cells[code] = tuple(
            CellBetween(each.column, each.old, each.new, _reason(history, each)) for each in changed
        )
    return cells


def _reason(history: Iterable[Past], cell: Change) -> str:
    """Give who gave the newer of the two values and why; "" where the history does not know."""
    for past in history:
        for change in past.changes:
            if change.column == cell.column and change.new in (cell.old, cell.new):
                return f"{past.by}, {past.at[:10]}: {past.why}"
    return ""


def _written(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:,g}" if abs(value) < 1e6 else f"{value:,.0f}"
    return "blank" if value is None else str(value)
