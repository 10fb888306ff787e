"""Which runs are whose? An officer's own alone; a lead's are all. Others are told as not there."""

from __future__ import annotations

from collections.abc import Set

from slackwater.errors import NotHere
from slackwater.people.names import key_of
from slackwater.people.roles import Caller, Least
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Note, Run
from slackwater.store.runs import NO_SUCH_RUN

NO_SUCH_NOTE = "there is no such note here"


def is_own(run: Run, caller: Caller) -> bool:
    """Whether a run is a caller's to see and to write in."""
    if caller.may(Least.LEAD):
        return True
    named = bool(caller.name) and key_of(run.officer) == key_of(caller.name)
    return caller.may(Least.FIELD) and named


def own_runs(book: FieldBook, caller: Caller) -> list[Run]:
    """Give a caller's runs, the latest first, also such as were taken off the list."""
    return [run for run in book.runs(dropped=True) if is_own(run, caller)]


def require_run(book: FieldBook, run_id: str, caller: Caller) -> Run:
    """Give a run of a caller's.

    Raises
    ------
    NotHere
        Where there is none of this id, or it is another's: both are told alike.
    """
    run = book.run(run_id)
    if not is_own(run, caller):
        raise NotHere(NO_SUCH_RUN)
    return run


def require_note(book: FieldBook, note_id: str, caller: Caller) -> Note:
    """Give a note of a caller's runs; NotHere, told alike, where it is another's or not there."""
    note = book.notes_by_id([note_id]).get(note_id)
    if note is None or not is_own(book.run(note.run_id), caller):
        raise NotHere(NO_SUCH_NOTE)
    return note


def own_codes(book: FieldBook, caller: Caller) -> Set[str] | None:
    """Give the sites of a caller's runs, of which all may be told; None for every site."""
    if caller.may(Least.LEAD):
        return None
    return {code for run in own_runs(book, caller) for code in run.codes}


def may_hear_of(code: str, codes: Set[str] | None) -> bool:
    """Whether notes of others about a site may be told, see `own_codes`."""
    return codes is None or code in codes
