"""Which photos are there? Each kept once, with the note it belongs to."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import asdict, fields
from typing import Any

from sqlalchemy import Connection, func, insert, select

from slackwater.errors import NotHere, Settled
from slackwater.store.field_records import Photo
from slackwater.store.field_schema import NOTES, PHOTOS

NO_SUCH_PHOTO = "there is no such photo here"
MOST_OF_NOTE = 12
HEAD = ("id", "note_id", "place", "width_px", "height_px", "by", "received_at")


def find_photo(connection: Connection, photo_id: str) -> Photo:
    """Give a photo.

    Raises
    ------
    NotHere
        Where there is none of this id.
    """
    columns = [PHOTOS.c[each.name] for each in fields(Photo)]
    row = connection.execute(select(*columns).where(PHOTOS.c.id == photo_id)).mappings().first()
    if row is None:
        raise NotHere(NO_SUCH_PHOTO)
    return Photo(**row)


def put_photo(connection: Connection, photo: Photo) -> bool:
    """Keep a photo, once; says whether it was there already.

    Raises
    ------
    Settled
        Where its id stands for another, or its note has as many as it may.
    """
    asked = select(PHOTOS.c.note_id, PHOTOS.c.sent_digest).where(PHOTOS.c.id == photo.id)
    there = connection.execute(asked).first()
    if there is not None:
        if tuple(there) != (photo.note_id, photo.sent_digest):
            raise Settled(f"the id {photo.id} stands for another photo already; make a new one")
        return True
    of_note = select(func.count()).select_from(PHOTOS).where(PHOTOS.c.note_id == photo.note_id)
    if (connection.execute(of_note).scalar() or 0) >= MOST_OF_NOTE:
        raise Settled(f"this note has {MOST_OF_NOTE} photos, and no more are kept; write another")
    connection.execute(insert(PHOTOS), asdict(photo))
    return False


def photo_heads(connection: Connection, codes: Collection[str] | None) -> list[Mapping[str, Any]]:
    """Give what is known of the photos of some offtakes, or of all, without the pictures."""
    columns = [PHOTOS.c[name] for name in HEAD]
    asked = select(*columns, NOTES.c.code, NOTES.c.run_id).join(
        NOTES, NOTES.c.id == PHOTOS.c.note_id
    )
    if codes is not None:
        asked = asked.where(NOTES.c.code.in_(codes))
    asked = asked.order_by(PHOTOS.c.received_at, PHOTOS.c.id)
    return [dict(row) for row in connection.execute(asked).mappings()]
