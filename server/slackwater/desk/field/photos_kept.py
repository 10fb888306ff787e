"""A photo from the field: looked at before it is kept, and given to whom its run is told."""

from __future__ import annotations

import hashlib
from typing import Any

from slackwater.desk.field.own_runs import is_own, require_note
from slackwater.desk.working import Working
from slackwater.desk.written import one_line
from slackwater.errors import NotHere
from slackwater.files.jpeg import only_picture
from slackwater.people.roles import Caller
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Photo
from slackwater.store.photos import NO_SUCH_PHOTO

MOST_BYTES = 1_500_000
TOO_LARGE = f"a photo has at most {MOST_BYTES / 1e6:g} MB; have the phone make it smaller"
KEPT = "kept"


def keep_photo(
    working: Working, photo_id: str, note_id: str, sent: bytes, caller: Caller, by: str, place: str
) -> dict[str, Any]:
    """Keep a photo of a note, once.

    Parameters
    ----------
    place : "kept" where the photo may go on saying where it was taken.

    Raises
    ------
    NotHere
        Where the note is not there, or of another's run: told alike. Notes are sent first.
    UsageError
        Where it is no sound JPEG.
    Settled
        Where its id stands for another, or the note has as many as it may.
    """
    book = FieldBook(working.register)
    note = require_note(book, note_id, caller)
    picture = only_picture(sent, keep_place=place == KEPT)
    photo = Photo(
        id=photo_id,
        note_id=note.id,
        sent_digest=hashlib.sha256(sent).hexdigest(),
        place=KEPT if picture.has_place else "",
        width_px=picture.width_px,
        height_px=picture.height_px,
        by=one_line(by, "who sends the photo"),
        content=picture.content,
    )
    return {"id": photo_id, "note_id": note.id, "known": book.put_photo(photo)}


def photo_content(working: Working, photo_id: str, caller: Caller) -> bytes:
    """Give a photo of a caller's runs; NotHere, told alike, where it is another's or not there."""
    book = FieldBook(working.register)
    photo = book.photo(photo_id)
    note = book.notes_by_id([photo.note_id])[photo.note_id]
    if not is_own(book.run(note.run_id), caller):
        raise NotHere(NO_SUCH_PHOTO)
    return photo.content
