"""Phones send notes and photos without a pause, and remember what they were told; then it is held
to that."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count
from typing import Any

import httpx

from slackwater.desk.field.standing_notes import in_order
from slackwater.store.field_book import FieldBook
from tests.files.photos import jpeg, picture
from tests.store.field.at_pump import Phone
from tests.store.raging import Raging
from tests.store.said import fresh_id

PICTURE = jpeg(picture(16, 16))
AT_ONCE = (1, 2, 3, 5)
"""Notes in a batch, by turns."""
PHOTO_EVERY = 4
SENT = ("id", "run_id", "code", "field", "typed", "unit", "phone", "after", "by")


@dataclass
class Officer:
    """One who writes and sends until the service is gone."""

    address: str
    phone: Phone
    codes: Sequence[str]
    stop: threading.Event
    takes_photos: bool = True
    kept: set[str] = field(default_factory=set)
    """Ids of notes that were acknowledged."""
    photos: dict[str, str] = field(default_factory=dict)
    """Id -> note of photos that were acknowledged."""
    told: str = ""
    """What was answered that nobody should be."""

    def work(self) -> None:
        """Write and send; a batch that was not answered is sent again with the next."""
        try:
            with httpx.Client(base_url=self.address, timeout=30) as client:
                for turn in count():
                    if self.stop.is_set():
                        return
                    self._visit(client, turn)
        except httpx.HTTPError:
            return

    def _visit(self, client: httpx.Client, turn: int) -> None:
        for number in range(AT_ONCE[turn % len(AT_ONCE)]):
            code = self.codes[(turn + number) % len(self.codes)]
            self.phone.write(code, "plate_capacity", f"{20 + turn}.{number}", "ML/d")
        waiting = [note for note in self.phone.outbox if note["id"] not in self.kept]
        answer = client.post("/api/notes", json={"notes": waiting[-200:]})
        if answer.status_code != 200:
            self._unless_busy(answer)
            return
        told = answer.json()
        if told["refused"]:
            self._unless_busy(answer)
        self.kept |= {*told["kept"], *told["known"]}
        if self.takes_photos and turn % PHOTO_EVERY == 0:
            self._photo(client, waiting[-1]["id"])

    def _photo(self, client: httpx.Client, note: str) -> None:
        photo = fresh_id()
        answer = client.put(
            f"/api/photos/{photo}",
            params={"note": note},
            content=PICTURE,
            headers={"Content-Type": "image/jpeg"},
        )
        if answer.status_code == 200:
            self.photos[photo] = note
        else:
            self._unless_busy(answer)

    def _unless_busy(self, answer: httpx.Response) -> None:
        if answer.status_code not in (429, 503):
            self.told = answer.text
            self.stop.set()
        time.sleep(0.05)


@dataclass
class NoteStorm(Raging):
    """Officers who send until told to stop or the service is gone."""

    workers: Sequence[Officer]

    @property
    def kept(self) -> set[str]:
        """Every acknowledged note."""
        return {note_id for each in self.workers for note_id in list(each.kept)}

    @property
    def photos(self) -> Mapping[str, str]:
        """Every acknowledged photo."""
        return {photo: note for each in self.workers for photo, note in list(each.photos.items())}


def note_storm(address: str, phones: Sequence[Phone], *, photos: bool = True) -> NoteStorm:
    """Begin; all phones write about the same two pumps."""
    stop = threading.Event()
    officers = [Officer(address, phone, ("0012", "0013"), stop, photos) for phone in phones]
    threads = [threading.Thread(target=each.work) for each in officers]
    for each in threads:
        each.start()
    return NoteStorm(officers, threads, stop)


def lost_notes(book: FieldBook, raging: NoteStorm) -> list[str]:
    """Give acknowledged notes and photos that are not there."""
    there = {note.id for note in book.notes()}
    photos = {photo["id"]: photo["note_id"] for photo in book.photo_heads()}
    gone = [photo for photo, note in raging.photos.items() if photos.get(photo) != note]
    return sorted(raging.kept - there) + gone


def require_sound(book: FieldBook, phones: Sequence[Phone]) -> None:
    """Hold the notes that are there against what was written: each as sent, once, in order."""
    sent: dict[str, Any] = {note["id"]: note for phone in phones for note in phone.outbox}
    notes = book.notes()
    assert len({note.id for note in notes}) == len(notes)
    for note in notes:
        wrote = sent[note.id]
        assert {name: getattr(note, name) for name in SENT} == {n: wrote[n] for n in SENT}
        assert abs(note.value * 86.4 - float(wrote["typed"])) < 1e-9  # type: ignore[operator]
    order = [note.id for note in in_order(notes)]
    for phone in phones:
        written = [note["id"] for note in phone.outbox]
        mine = [each for each in order if each in set(written)]
        assert mine == [each for each in written if each in set(mine)]
