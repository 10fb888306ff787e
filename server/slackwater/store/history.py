"""What was changed, by whom, and why? Rows are added and never changed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from sqlalchemy import Connection, Select, func, insert, select

from slackwater.errors import Conflict, Settled, UsageError
from slackwater.store.records import Change, Edit, Past, Standing
from slackwater.store.schema import CHANGES, EDITS
from slackwater.store.values import told_change

CHANGES_EACH = 50
UNDONE = EDITS.alias("undone")
PLAIN = ("id", "why", "by", "basis", "source", "observed_on", "kind", "seq", "at", "revision",
         "data_version", "change_count")  # fmt: skip


def content_of(edit: Edit, more: bytes = b"") -> str:
    """Give a digest of all an edit says, by which a repeat is known."""
    text = json.dumps(asdict(edit), sort_keys=True, default=str)
    return hashlib.sha256(text.encode() + more).hexdigest()


def kept_already(connection: Connection, edit_id: str, content: str) -> Past | None:
    """Give the edit of this id, None where there is none yet.

    Raises
    ------
    UsageError
        Where another edit has this id.
    """
    found = connection.execute(select(EDITS).where(EDITS.c.id == edit_id)).first()
    if found is None:
        return None
    if found.content != content:
        raise UsageError(f"the id {edit_id} stands for another edit already; make a new one")
    return past_edit(connection, edit_id)


def require_undoable(connection: Connection, edit_id: str) -> None:
    """Refuse to undo what is not there or was undone already."""
    if connection.execute(select(EDITS.c.seq).where(EDITS.c.id == edit_id)).first() is None:
        raise UsageError(f"there is no edit {edit_id} to undo")
    if connection.execute(select(EDITS.c.seq).where(EDITS.c.undoes == edit_id)).first():
        raise Settled(f"edit {edit_id} was undone already")


def record_edit(connection: Connection, edit: Edit, content: str, standing: Standing) -> int:
    """Add an edit, its changes as they are stored; gives its place in the history."""
    last = connection.execute(select(func.max(EDITS.c.seq))).scalar()
    seq = (last or 0) + 1
    row = {name: getattr(edit, name) for name in PLAIN[:7]}
    row |= {
        "seq": seq,
        "at": standing.changed_at,
        "content": content,
        "undoes": edit.undoes or None,
        "revision": standing.revision,
        "data_version": standing.data_version,
        "change_count": len(edit.changes),
    }
    connection.execute(insert(EDITS), row)
    rows = [_change_row(seq, number, each) for number, each in enumerate(edit.changes, 1)]
    if rows:
        connection.execute(insert(CHANGES), rows)
    return seq


def past_edit(connection: Connection, edit_id: str) -> Past | None:
    """Give one edit with all its changes, None where there is none."""
    found = connection.execute(_edits().where(EDITS.c.id == edit_id)).first()
    return None if found is None else _with_changes(connection, [found._mapping], None)[0]


def past_edits(
    connection: Connection,
    tables: Collection[str],
    key: str,
    before_seq: int | None,
    limit: int,
) -> list[Past]:
    """Give edits, newest first; of some tables or one row where they are named."""
    asked = _edits().order_by(EDITS.c.seq.desc()).limit(limit)
    if before_seq is not None:
        asked = asked.where(EDITS.c.seq < before_seq)
    if tables:
        asked = asked.where(EDITS.c.seq.in_(_of_row(select(CHANGES.c.edit_seq), tables, key)))
    found = connection.execute(asked).mappings().all()
    return _with_changes(connection, found, CHANGES_EACH, tables, key)


def touched_others(
    connection: Connection, seqs: Iterable[int], tables: Collection[str]
) -> set[int]:
    """Give which of some edits touched any table but these."""
    asked = select(CHANGES.c.edit_seq).distinct().where(CHANGES.c.edit_seq.in_(list(seqs)))
    return set(connection.execute(asked.where(CHANGES.c.table_name.not_in(tables))).scalars())


def written_last(connection: Connection, table: str, key: str) -> dict[str, Past]:
    """Give, column by column, the edit that wrote a row's cell last; "" for the whole row."""
    return dict(writes_of_row(connection, table, key))


def writes_of_row(connection: Connection, table: str, key: str) -> list[tuple[str, Past]]:
    """Give each writing of a row's cell, in order: the column ("" for the whole row), its edit."""
    asked = (
        _of_row(_edits().add_columns(CHANGES.c.column_name), (table,), key)
        .join(CHANGES, CHANGES.c.edit_seq == EDITS.c.seq)
        .order_by(EDITS.c.seq)
    )
    found = connection.execute(asked).mappings().all()
    return [(row["column_name"], _past(row, ())) for row in found]


def first_revision_of(connection: Connection, data_version: str) -> int:
    """Give the first revision that had a data version; 0 where none did."""
    asked = select(func.min(EDITS.c.revision)).where(EDITS.c.data_version == data_version)
    return connection.execute(asked).scalar() or 0


def with_writers(connection: Connection, conflicts: Iterable[Conflict]) -> list[Conflict]:
    """Say of each conflict who wrote the value that stands, and when."""
    told = []
    for each in conflicts:
        last = written_last(connection, each.table, each.key)
        wrote = [past for past in (last.get(each.column), last.get("")) if past]
        if not each.column:
            wrote = list(last.values())
        latest = max(wrote, key=lambda past: past.seq, default=Past("", (), ""))
        told.append(replace(each, by=latest.by if latest.seq else "", at=latest.at))
    return told


def _edits() -> Select[Any]:
    undone_by = UNDONE.c.id.label("undone_by")
    return select(EDITS, undone_by).outerjoin(UNDONE, UNDONE.c.undoes == EDITS.c.id)


def _of_row(asked: Select[Any], tables: Collection[str], key: str) -> Select[Any]:
    asked = asked.where(CHANGES.c.table_name.in_(tables))
    return asked.where(CHANGES.c.row_key == key) if key else asked


def _with_changes(
    connection: Connection,
    found: Sequence[Mapping[Any, Any]],
    most: int | None,
    tables: Collection[str] = (),
    key: str = "",
) -> list[Past]:
    asked = select(CHANGES).order_by(CHANGES.c.edit_seq, CHANGES.c.number)
    asked = asked.where(CHANGES.c.edit_seq.in_([row["seq"] for row in found]))
    if tables:
        asked = _of_row(asked, tables, key)
    elif most is not None:
        asked = asked.where(CHANGES.c.number <= most)
    changes: dict[int, list[Change]] = {}
    for row in connection.execute(asked):
        changes.setdefault(row.edit_seq, []).append(
            Change(row.table_name, row.row_key, row.column_name, *map(json.loads, row[-2:]))
        )
    return [_past(row, tuple(changes.get(row["seq"], ())[:most])) for row in found]


def _past(row: Mapping[Any, Any], changes: tuple[Change, ...]) -> Past:
    plain = {name: row[name] for name in PLAIN}
    return Past(
        changes=changes,
        undoes=row["undoes"] or "",
        undone_by=row["undone_by"] or "",
        **plain,
    )


def _change_row(seq: int, number: int, change: Change) -> dict[str, Any]:
    told = told_change(change)
    return {
        "edit_seq": seq,
        "number": number,
        "table_name": change.table,
        "row_key": change.key,
        "column_name": change.column,
        "old": json.dumps(told.old, ensure_ascii=False),
        "new": json.dumps(told.new, ensure_ascii=False),
    }
