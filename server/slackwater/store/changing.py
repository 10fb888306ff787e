"""What does a catchment say after an edit? Worked out apart from any database."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from slackwater.errors import Conflict, EditConflict
from slackwater.store.opened_table import OpenedTable
from slackwater.store.records import SETTINGS, TOML, Change
from slackwater.store.stored import StoredCatchment, further_of, settings_of
from slackwater.store.values import same, stored_change, told_change


@dataclass(frozen=True)
class Changed:
    """What came of an edit.

    Attributes
    ----------
    changes : with values as they are stored, and the keys of rows that were added.
    touched : table -> numbers of the rows that were added, changed or removed.
    """

    raw: StoredCatchment
    changes: tuple[Change, ...]
    touched: Mapping[str, frozenset[int]]


def with_changes(raw: StoredCatchment, changes: Iterable[Change]) -> StoredCatchment:
    """Give the catchment as it would stand; nothing is checked but what the changes saw.

    Raises
    ------
    EditConflict
        Where a value is not what a change took it to be, with all such values.
    UsageError
        Where a table, column or row is unknown.
    InputFaults
        Where new settings are no TOML.
    """
    return changed(raw, changes).raw


def changed(raw: StoredCatchment, changes: Iterable[Change]) -> Changed:
    """Do the work of `with_changes`, and say what was touched."""
    asked = tuple(changes)
    conflicts: list[Conflict] = []
    after, further = _with_settings(raw, asked, conflicts)
    opened: dict[str, OpenedTable] = {}
    done: list[Change] = []
    for change in (stored_change(each, further) for each in asked):
        if change.table == SETTINGS:
            done.append(change)
            continue
        if change.table not in opened:
            opened[change.table] = OpenedTable(raw.tables[change.table])
        done.append(_one(opened[change.table], change, conflicts))
    if conflicts:
        raise EditConflict(conflicts)
    tables = {**raw.tables, **{name: each.closed() for name, each in opened.items()}}
    touched = {name: frozenset(each.touched) for name, each in opened.items()}
    return Changed(replace(after, tables=tables), tuple(done), touched)


def _with_settings(
    raw: StoredCatchment, changes: Iterable[Change], conflicts: list[Conflict]
) -> tuple[StoredCatchment, set[str]]:
    """Change the settings first: a criterion may name the column that another change fills."""
    for change in changes:
        if change.table == SETTINGS:
            stored_change(change, ())
            if change.old != raw.settings_text:
                conflicts.append(Conflict(SETTINGS, "", TOML, change.old, raw.settings_text))
            raw = replace(raw, settings=settings_of(change.new), settings_text=change.new)
    return raw, further_of(raw)


def _one(table: OpenedTable, change: Change, conflicts: list[Conflict]) -> Change:
    """Do one change of a table, or note why it cannot be done."""
    if change.column:
        now = table.cell(change.key, change.column)
        if not same(change.old, now):
            conflicts.append(_conflict(change, now))
        table.put(change.key, change.column, change.new)
        return change
    if change.old is not None:
        now = table.row(change.key)
        if not _same_row(change.old, now):
            conflicts.append(_conflict(change, now))
        table.remove(change.key)
        return change
    key = table.key_of_new(change.key, change.new)
    if table.holds(key):
        conflicts.append(_conflict(replace(change, key=key), table.row(key)))
        return change
    table.add(key, change.new)
    return replace(change, key=key)


def _same_row(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return one.keys() == other.keys() and all(same(one[name], other[name]) for name in one)


def _conflict(change: Change, now: Any) -> Conflict:
    told = told_change(replace(change, new=now))
    return Conflict(change.table, change.key, change.column, told.old, told.new)
