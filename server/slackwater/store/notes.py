"""What was noted in the field? Note after note, each added once and none changed; and choices."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import asdict, fields, replace
from typing import Any

from sqlalchemy import Connection, Table, func, insert, select

from slackwater.errors import Settled
from slackwater.store.field_records import Choice, Note
from slackwater.store.field_schema import NOTE_CHOICES, NOTES

AT_ONCE = 500
"""Ids looked for in one question: databases have a limit."""
NOTE_COLUMNS = tuple(NOTES.c[each.name] for each in fields(Note))
CHOICE_COLUMNS = tuple(NOTE_CHOICES.c[each.name] for each in fields(Choice))


def notes_by_id(connection: Connection, ids: Collection[str]) -> dict[str, Note]:
    """Give those of these notes that are there."""
    found: dict[str, Note] = {}
    listed = list(ids)
    for start in range(0, len(listed), AT_ONCE):
        some = select(*NOTE_COLUMNS).where(NOTES.c.id.in_(listed[start : start + AT_ONCE]))
        found |= {row["id"]: _note(row) for row in connection.execute(some).mappings()}
    return found


def notes_of(
    connection: Connection, *, run_id: str = "", codes: Collection[str] | None = None
) -> list[Note]:
    """Give the notes of a run, of some offtakes, or of all, in the order in which they arrived."""
    asked = select(*NOTE_COLUMNS).order_by(NOTES.c.number)
    if run_id:
        asked = asked.where(NOTES.c.run_id == run_id)
    if codes is not None:
        asked = asked.where(NOTES.c.code.in_(codes))
    return [_note(row) for row in connection.execute(asked).mappings()]


def says_the_same(kept: Note, sent: Note) -> bool:
    """Whether a note is the one that is kept, whoever sends it again."""
    return replace(kept, by=sent.by, received_at=sent.received_at) == sent


def add_note(connection: Connection, note: Note) -> None:
    """Add a note at the end."""
    row = asdict(note) | {"value": json.dumps(note.value, ensure_ascii=False)}
    connection.execute(insert(NOTES), row | {"number": _next(connection, NOTES)})


def choices_of(connection: Connection, *, codes: Collection[str] | None = None) -> list[Choice]:
    """Give the choices made about some offtakes, or all, in order."""
    asked = select(*CHOICE_COLUMNS).order_by(NOTE_CHOICES.c.number)
    if codes is not None:
        asked = asked.where(NOTE_CHOICES.c.code.in_(codes))
    return [_choice(row) for row in connection.execute(asked).mappings()]


def kept_choice(connection: Connection, choice: Choice) -> Choice | None:
    """Give the choice of this id, None where there is none yet.

    Raises
    ------
    Settled
        Where its id stands for another choice.
    """
    asked = select(*CHOICE_COLUMNS).where(NOTE_CHOICES.c.id == choice.id)
    row = connection.execute(asked).mappings().first()
    if row is None:
        return None
    kept = _choice(row)
    if (set(kept.note_ids), kept.pick, kept.why) != (set(choice.note_ids), choice.pick, choice.why):
        raise Settled(f"the id {choice.id} stands for another choice already; make a new one")
    return kept


def add_choice(connection: Connection, choice: Choice) -> None:
    """Add a choice at the end."""
    row = asdict(choice) | {"note_ids": json.dumps(choice.note_ids)}
    connection.execute(insert(NOTE_CHOICES), row | {"number": _next(connection, NOTE_CHOICES)})


def _next(connection: Connection, table: Table) -> int:
    return (connection.execute(select(func.max(table.c.number))).scalar() or 0) + 1


def _note(row: Mapping[Any, Any]) -> Note:
    return Note(**{**row, "value": json.loads(row["value"])})


def _choice(row: Mapping[Any, Any]) -> Choice:
    return Choice(**{**row, "note_ids": tuple(json.loads(row["note_ids"]))})
