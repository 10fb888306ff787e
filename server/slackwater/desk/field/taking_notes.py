"""Notes come back from a phone: each kept once, whatever was sent how often and in which order.

One that cannot be kept is told and left out; the others are kept all the same, and are on disk when
the answer is given. Whoever is second to a field is told what the first has written.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from slackwater.desk.field.note_given import id_told, note_of
from slackwater.desk.field.notes_told import note_values, standings_of
from slackwater.desk.field.own_runs import is_own, may_hear_of, own_codes
from slackwater.desk.working import Working
from slackwater.errors import NotHere, UsageError
from slackwater.people.roles import Caller
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Note, Run
from slackwater.store.runs import NO_SUCH_RUN

MOST_AT_ONCE = 200
CLASHES = "the id of this note stands for another one already; write it anew"


def take_notes(working: Working, sent: Sequence[Any], caller: Caller) -> dict[str, Any]:
    """Keep what a phone sends; says of each note what became of it, and what contradicts it."""
    book = FieldBook(working.register)
    sound: list[Note] = []
    refused: list[dict[str, str]] = []
    door = _Door(working, book, caller)
    for given in sent:
        try:
            note = note_of(given, caller.name)
            door.require(note)
            sound.append(note)
        except (UsageError, NotHere) as error:
            refused.append({"id": id_told(given), "why": str(error)})
    written = book.write(sound)
    refused += [{"id": note_id, "why": CLASHES} for note_id in written.clashing]
    there = {*written.kept, *written.known}
    return {
        "kept": list(written.kept),
        "known": [each for each in dict.fromkeys(written.known) if each not in written.kept],
        "conflicts": _conflicts(book, [note for note in sound if note.id in there], caller),
        "refused": refused,
    }


class _Door:
    """Which notes may come in: those of the caller's runs, about offtakes there are or were."""

    def __init__(self, working: Working, book: FieldBook, caller: Caller) -> None:
        self._book, self._caller = book, caller
        self._runs: dict[str, Run | None] = {}
        self._codes = working.newest().opened.catchment.table("offtakes").index

    def require(self, note: Note) -> None:
        """Refuse a note that is not this caller's to write.

        Raises
        ------
        NotHere
            Where its run is another's or not there, told alike; or nobody ever heard of its site.
        """
        run = self._run(note.run_id)
        if run is None:
            raise NotHere(NO_SUCH_RUN)
        # A stop moved to another run meanwhile, or gone from the register: what was seen stays.
        if note.code not in self._codes and note.code not in run.codes:
            raise NotHere(f"there is no offtake {note.code[:40]} here")

    def _run(self, run_id: str) -> Run | None:
        if run_id not in self._runs:
            try:
                run = self._book.run(run_id)
                self._runs[run_id] = run if is_own(run, self._caller) else None
            except NotHere:
                self._runs[run_id] = None
        return self._runs[run_id]


def _conflicts(book: FieldBook, notes: Iterable[Note], caller: Caller) -> list[dict[str, Any]]:
    """Give, for each of these notes that stands contradicted, every note that says otherwise."""
    by_id = {note.id: note for note in notes}
    codes = own_codes(book, caller)
    about = {note.code for note in by_id.values() if may_hear_of(note.code, codes)}
    return [
        {"id": mine.id, "other": note_values(other)}
        for each in standings_of(book, about).values()
        if each.contested
        for mine in each.tips
        if mine.id in by_id
        for other in each.tips
        if other.id != mine.id
    ]
