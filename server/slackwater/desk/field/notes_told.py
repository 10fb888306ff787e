"""How is a note told? Whole, with how it was typed; and which notes contradict it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import asdict
from typing import Any

from slackwater.desk.field.own_runs import may_hear_of, own_codes, require_run
from slackwater.desk.field.standing_notes import OfField, Standing, in_order, standings
from slackwater.desk.working import Working
from slackwater.people.roles import Caller
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Choice, Note, Run


def note_values(note: Note) -> dict[str, Any]:
    """Give a note as plain values."""
    return asdict(note)


def choice_values(choice: Choice) -> dict[str, Any]:
    """Give a choice as plain values."""
    return asdict(choice) | {"note_ids": list(choice.note_ids)}


def standings_of(book: FieldBook, codes: Iterable[str] | None) -> dict[OfField, Standing]:
    """Give how the notes about some offtakes stand, or about all."""
    listed = None if codes is None else sorted(set(codes))
    return standings(book.notes(codes=listed), book.choices(codes=listed))


def contested_values(found: Mapping[OfField, Standing]) -> list[dict[str, Any]]:
    """Give the fields whose notes contradict each other, with all of these."""
    return [
        {"code": code, "field": field, "notes": [note_values(note) for note in each.tips]}
        for (code, field), each in sorted(found.items())
        if each.contested
    ]


def notes_of_run(working: Working, run_id: str, caller: Caller) -> dict[str, Any]:
    """Give all notes of a run in the order they were written, and what contradicts them.

    Raises
    ------
    NotHere
        Where the run is not there, or another's.
    """
    book = FieldBook(working.register)
    run = require_run(book, run_id, caller)
    notes = in_order(book.notes(run_id=run.id))
    mine = {note.id for note in notes}
    codes = told_codes(run, notes, own_codes(book, caller))
    found = standings_of(book, codes)
    return {
        "notes": [note_values(note) for note in notes],
        "contested": contested_values(found),
        "choices": [choice_values(choice) for choice in book.choices(codes=codes)],
        "settled": [
            {name: getattr(each, name) for name in ("note_id", "outcome", "by", "why", "at")}
            for each in book.settlements()
            if each.note_id in mine
        ],
    }


def told_codes(run: Run, notes: Iterable[Note], codes: Set[str] | None) -> list[str]:
    """Give the sites of a run, and of its notes, of which others' notes may be told."""
    of_run = {*run.codes, *(note.code for note in notes)}
    return sorted(code for code in of_run if may_hear_of(code, codes))
