"""The field book of a database: runs, notes, photos, choices, and what came of the notes.

What is a record is only ever added. Every write is on disk when the method returns.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection

from slackwater.store import notes, photos, runs, settlements
from slackwater.store.editing import Check
from slackwater.store.field_records import Choice, Note, Photo, Run, Settlement
from slackwater.store.records import Done, Edit
from slackwater.store.register import Register
from slackwater.store.standing import now
from slackwater.store.writing_rules import require_sound_id

Still = Callable[[Sequence[Note], Sequence[Choice]], None]
"""Raises where a choice can no longer be made."""


@dataclass(frozen=True)
class Written:
    """What became of notes that were sent.

    Attributes
    ----------
    kept, known : ids written now, and ids that were there as they were sent.
    clashing : ids that stand for other notes.
    """

    kept: tuple[str, ...]
    known: tuple[str, ...]
    clashing: tuple[str, ...]


class FieldBook:
    """The part of a register that is written in the field."""

    def __init__(self, register: Register) -> None:
        self._register = register
        self._connected = register.connected

    def put_run(self, run: Run) -> Run:
        """Keep a run, once; Settled where another has its id."""
        require_sound_id(run.id)
        with self._connected.writing() as connection:
            return runs.put_run(connection, replace(run, made_at=run.made_at or now()))

    def run(self, run_id: str) -> Run:
        """Give a run; NotHere where there is none."""
        with self._connected.reading() as connection:
            return runs.find_run(connection, run_id)

    def runs(self, *, dropped: bool = False) -> list[Run]:
        """Give every run, the latest first; see `all_runs`."""
        with self._connected.reading() as connection:
            return runs.all_runs(connection, dropped=dropped)

    def put_order(
        self, run_id: str, days: Sequence[Mapping[str, Any]], plan: Mapping[str, Any] | None = None
    ) -> Run:
        """Put other days in place of a run's, and another plan where one is given."""
        with self._connected.writing() as connection:
            return runs.put_order(connection, run_id, days, plan, now())

    def drop_run(self, run_id: str) -> None:
        """Take a run off the list; Settled where it has notes, NotHere where there is none."""
        with self._connected.writing() as connection:
            runs.drop_run(connection, run_id, now())

    def write(self, sent: Iterable[Note]) -> Written:
        """Add those of these notes that are new, in their order, in one transaction."""
        listed = list(sent)
        outcome: dict[str, list[str]] = {"kept": [], "known": [], "clashing": []}
        with self._connected.writing() as connection:
            there = notes.notes_by_id(connection, {note.id for note in listed})
            at = now()
            for note in listed:
                kept = there.get(note.id)
                if kept is None:
                    notes.add_note(connection, replace(note, received_at=at))
                    there[note.id] = note
                    outcome["kept"].append(note.id)
                elif notes.says_the_same(kept, note):
                    outcome["known"].append(note.id)
                else:
                    outcome["clashing"].append(note.id)
        return Written(**{name: tuple(ids) for name, ids in outcome.items()})

    def notes(self, *, run_id: str = "", codes: Collection[str] | None = None) -> list[Note]:
        """Give the notes of a run, of some offtakes, or of all, as they arrived."""
        with self._connected.reading() as connection:
            return notes.notes_of(connection, run_id=run_id, codes=codes)

    def notes_by_id(self, ids: Collection[str]) -> dict[str, Note]:
        """Give those of these notes that are there."""
        with self._connected.reading() as connection:
            return notes.notes_by_id(connection, ids)

    def choices(self, *, codes: Collection[str] | None = None) -> list[Choice]:
        """Give the choices about some offtakes, or all, in order."""
        with self._connected.reading() as connection:
            return notes.choices_of(connection, codes=codes)

    def choose(self, choice: Choice, still: Still) -> tuple[Choice, bool]:
        """Keep a choice, once; gives it, and whether it was there already.

        Parameters
        ----------
        still : given all notes and choices about the offtake, raises where the choice cannot be.

        Raises
        ------
        Settled
            Where its id stands for another choice.
        """
        require_sound_id(choice.id)
        with self._connected.writing() as connection:
            kept = notes.kept_choice(connection, choice)
            if kept is not None:
                return kept, True
            about = [choice.code]
            still(
                notes.notes_of(connection, codes=about), notes.choices_of(connection, codes=about)
            )
            made = replace(choice, at=now())
            notes.add_choice(connection, made)
            return made, False

    def put_photo(self, photo: Photo) -> bool:
        """Keep a photo, once; says whether it was there already. Settled where it is another."""
        require_sound_id(photo.id)
        with self._connected.writing() as connection:
            return photos.put_photo(connection, replace(photo, received_at=now()))

    def photo(self, photo_id: str) -> Photo:
        """Give a photo; NotHere where there is none."""
        with self._connected.reading() as connection:
            return photos.find_photo(connection, photo_id)

    def photo_heads(self, codes: Collection[str] | None = None) -> list[Mapping[str, Any]]:
        """Give what is known of the photos of some offtakes, or of all, without the pictures."""
        with self._connected.reading() as connection:
            return photos.photo_heads(connection, codes)

    def settlements(self, request_id: str = "") -> list[Settlement]:
        """Give what was made of every note, or of those of one asking."""
        with self._connected.reading() as connection:
            return settlements.all_settlements(connection, request_id)

    def accept(self, settled: Sequence[Settlement], edit: Edit, check: Check) -> Done:
        """Do an edit and, in the same moment, write down of which notes it came.

        Raises
        ------
        Settled
            Where something was made of one of the notes before.
        EditConflict, InputFaults, UsageError
            As `Register.apply`; nothing is written then.
        """

        def write_down(connection: Connection) -> None:
            at = now()
            settlements.add_settlements(connection, (replace(each, at=at) for each in settled))

        return self._register.apply_with(edit, check, write_down)

    def refuse(self, settled: Sequence[Settlement]) -> None:
        """Write down that notes are not taken over; Settled where one was dealt with before."""
        at = now()
        with self._connected.writing() as connection:
            settlements.add_settlements(connection, (replace(each, at=at) for each in settled))
