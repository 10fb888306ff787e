"""How do two states of a catchment differ? Row by row, cell by cell."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import shapely

from slackwater.catchment.contract import TABLES
from slackwater.catchment.raw import RawTable
from slackwater.store.records import GEOMETRY, SETTINGS, TOML, Change, Difference, Given
from slackwater.store.stored import StoredCatchment, keys_of, of_given, raw_table, stored_catchment
from slackwater.store.values import same, told_change

EXAMPLES = 5
TOLD_AT_MOST = 2_000
"""Changes of one table that an import's history lists; more are told as one."""

LONG_TABLES = ("daily", "metered")
LONGEST_EXAMPLE = 60

Cells = Mapping[str, Any]
EMPTY = stored_catchment({name: raw_table(name, (), {}, None) for name in TABLES}, "", "")


def changes_between(before: StoredCatchment, after: StoredCatchment) -> dict[str, list[Change]]:
    """Give the changes of each table that differs, values as they are stored."""
    found = {name: list(_table_changes(before.tables[name], after.tables[name])) for name in TABLES}
    if before.settings_text != after.settings_text:
        found[SETTINGS] = [Change(SETTINGS, "", TOML, before.settings_text, after.settings_text)]
    return {name: changes for name, changes in found.items() if changes}


def differences(before: StoredCatchment, after: StoredCatchment) -> dict[str, Difference]:
    """Count the changes of each table that differs, with a few told."""
    found = changes_between(before, after)
    return {name: _difference(changes) for name, changes in found.items()}


def difference_from_nothing(given: Given) -> dict[str, Difference]:
    """Say what a catchment would bring into an empty database."""
    return differences(EMPTY, of_given(given))


def _difference(changes: Sequence[Change]) -> Difference:
    """Count one table's changes, with a few told."""
    added = sum(not change.column and change.old is None for change in changes)
    removed = sum(not change.column and change.new is None for change in changes)
    changed = len({change.key for change in changes if change.column})
    few = tuple(map(_told, _few_of_each(changes)))
    rest = len(changes) - len(few)
    more = (f"and {rest:,} more",) if rest else ()
    return Difference(added, removed, changed, few + more)


def summed_up(
    before: StoredCatchment, after: StoredCatchment, *, first: bool
) -> tuple[Change, ...]:
    """Give the changes an import's history lists: of long tables, and the first time, one each."""
    if first:
        return tuple(_in_sum(after, name, before) for name in TABLES if after.tables[name].rows)
    told: list[Change] = []
    for name, changes in changes_between(before, after).items():
        short = name not in LONG_TABLES and len(changes) <= TOLD_AT_MOST
        told += changes if short else [_in_sum(after, name, before)]
    return tuple(told)


def _in_sum(after: StoredCatchment, name: str, before: StoredCatchment) -> Change:
    old, new = ({"rows": len(each.tables[name].rows)} for each in (before, after))
    return Change(name, "", "", old, new)


def _table_changes(before: RawTable, after: RawTable) -> Iterator[Change]:
    old, new = dict(_filled_rows(before)), dict(_filled_rows(after))
    if not TABLES[before.name].key:
        old, new = _without_shared(old, new)
    for key, cells in old.items():
        if key not in new:
            yield Change(before.name, key, "", cells, None)
    for key, cells in new.items():
        if key in old and TABLES[before.name].key:
            yield from _cell_changes(before.name, key, old[key], cells)
        else:
            yield Change(before.name, key, "", None, cells)


def _cell_changes(table: str, key: str, old: Cells, new: Cells) -> Iterator[Change]:
    if old == new and GEOMETRY not in old:
        return
    for column in dict.fromkeys((*old, *new)):
        was, now = old.get(column), new.get(column)
        if not same(was, now):
            yield Change(table, key, column, was, now)


def _filled_rows(table: RawTable) -> Iterator[tuple[str, dict[str, Any]]]:
    columns = dict(table.cells)
    if table.geometry is not None:
        columns[GEOMETRY] = table.geometry
    names = list(columns)
    for key, cells in zip(keys_of(table), zip(*columns.values(), strict=True), strict=True):
        yield key, {n: cell for n, cell in zip(names, cells, strict=True) if cell is not None}


def _without_shared(
    old: dict[str, dict[str, Any]], new: dict[str, dict[str, Any]]
) -> tuple[dict[str, dict[str, Any]], dict[str, dict[str, Any]]]:
    """Leave out rows without a key that stand on both sides, whatever their number."""
    waiting: defaultdict[str, list[str]] = defaultdict(list)
    for key, cells in old.items():
        waiting[_content(cells)].append(key)
    added = {}
    for key, cells in new.items():
        alike = waiting[_content(cells)]
        if alike:
            alike.pop(0)
        else:
            added[key] = cells
    left = {key for keys in waiting.values() for key in keys}
    return {key: cells for key, cells in old.items() if key in left}, added


def _content(cells: Cells) -> str:
    written = {
        name: shapely.to_wkb(cell, hex=True) if name == GEOMETRY else cell
        for name, cell in sorted(cells.items())
    }
    return repr(written)


def _few_of_each(changes: Sequence[Change]) -> list[Change]:
    """Give a few changes, of every kind where there are several."""
    kinds: dict[tuple[bool, bool], list[Change]] = {}
    for change in changes:
        kinds.setdefault((bool(change.column), change.old is None), []).append(change)
    each = max(1, EXAMPLES // max(1, len(kinds)))
    return [change for alike in kinds.values() for change in alike[:each]]


def _told(change: Change) -> str:
    told = told_change(change)
    if change.table == SETTINGS:
        return "the settings"
    if change.column:
        return f"{change.key}, {change.column}: {_short(told.old)} -> {_short(told.new)}"
    row = f"row {change.key}" if not TABLES[change.table].key else change.key
    name = (change.new or change.old).get("name", "")
    named = f" ({_short(name)})" if name else ""
    return f"{row}{named} {'added' if change.old is None else 'removed'}"


def _short(value: Any) -> str:
    text = "empty" if value is None else str(value)
    return text if len(text) <= LONGEST_EXAMPLE else text[:LONGEST_EXAMPLE] + "…"
