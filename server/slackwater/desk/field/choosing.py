"""Several notes contradict each other: somebody chooses, says why, and all of them stay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from slackwater.desk.field.note_given import NOBODY_NAMED
from slackwater.desk.field.notes_told import choice_values
from slackwater.desk.field.own_runs import NO_SUCH_NOTE, may_hear_of, own_codes
from slackwater.desk.field.standing_notes import standing
from slackwater.desk.working import Working
from slackwater.desk.written import MOST_OF_REASON, one_line
from slackwater.errors import NotHere, Settled, UsageError
from slackwater.people.roles import Caller
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Choice, Note

MOVED_ON = "these are not the notes that contradict each other now; look again and choose"


def choose(working: Working, asked: Mapping[str, Any], caller: Caller) -> dict[str, Any]:
    """Keep a choice, once.

    Parameters
    ----------
    asked : ``id``, ``note_ids`` (all that contradict each other), ``pick``, ``by`` and ``why``.

    Raises
    ------
    NotHere
        Where one of the notes is not there, or not the caller's to hear of: told alike.
    UsageError
        Where they are not of one field of one offtake, or the pick is none of them.
    Settled
        Where others contradict each other by now, or the id stands for another choice.
    """
    book = FieldBook(working.register)
    ids = tuple(dict.fromkeys(asked["note_ids"]))
    found = book.notes_by_id(ids)
    codes = own_codes(book, caller)
    if len(found) != len(ids) or not all(may_hear_of(n.code, codes) for n in found.values()):
        raise NotHere(NO_SUCH_NOTE)
    about = {(note.code, note.field) for note in found.values()}
    if len(about) != 1 or asked["pick"] not in found:
        raise UsageError("choose one of several notes of one field of one offtake")
    code, field = about.pop()
    choice = Choice(
        asked["id"],
        code,
        field,
        ids,
        asked["pick"],
        one_line(asked["by"], "who chooses") or NOBODY_NAMED,
        one_line(asked["why"], "why this one", most=MOST_OF_REASON, needed=True),
    )

    def still(notes: Sequence[Note], choices: Sequence[Choice]) -> None:
        now = standing([note for note in notes if note.field == field],
                       [each for each in choices if each.field == field])  # fmt: skip
        if not now.contested or {note.id for note in now.tips} != set(ids):
            raise Settled(MOVED_ON)

    kept, repeated = book.choose(choice, still)
    return {**choice_values(kept), "repeated": repeated}
