"""Which tables keep what was seen in the field? Runs, notes, photos, and what came of them.

Rows of notes, photos, choices and settlements are only ever added.
"""

from __future__ import annotations

from sqlalchemy import (
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    Table,
    Text,
    UniqueConstraint,
)

from slackwater.store.schema import METADATA


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


RUNS = Table(
    "runs",
    METADATA,
    Column("id", Text, primary_key=True),
    *_texts("name", "on", "officer", "days", "plan", "data_version", "made_at", "by"),
    *_texts("ordered_at", "dropped_at"),
)
"""Days out, with their stops in order. One that was dropped still takes the notes of its phone."""

NOTES = Table(
    "notes",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    Column("run_id", Text, ForeignKey("runs.id"), nullable=False),
    *_texts("code", "field", "typed", "unit", "value", "at", "phone", "after", "by"),
    *_texts("received_at"),
    UniqueConstraint("id", name="notes_id_key"),
)
"""One field's value written at a stop, as typed and as understood; numbered as they arrived."""
Index("notes_of_run", NOTES.c.run_id)
Index("notes_of_field", NOTES.c.code, NOTES.c.field)

NOTE_CHOICES = Table(
    "note_choices",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    *_texts("code", "field", "note_ids"),
    Column("pick", Text, ForeignKey("notes.id"), nullable=False),
    *_texts("by", "why", "at"),
    UniqueConstraint("id", name="note_choices_id_key"),
)
"""Which of several notes that contradict each other stands, and why; the others stay."""
Index("note_choices_of_field", NOTE_CHOICES.c.code, NOTE_CHOICES.c.field)

PHOTOS = Table(
    "photos",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("note_id", Text, ForeignKey("notes.id"), nullable=False),
    *_texts("sent_digest", "place"),
    Column("width_px", Integer, nullable=False),
    Column("height_px", Integer, nullable=False),
    *_texts("by", "received_at"),
    Column("content", LargeBinary, nullable=False),
)
"""Pictures of a note; ``place`` is "kept" where they say where they were taken."""
Index("photos_of_note", PHOTOS.c.note_id)

SETTLEMENTS = Table(
    "note_settlements",
    METADATA,
    Column("note_id", Text, ForeignKey("notes.id"), primary_key=True),
    *_texts("request_id", "outcome"),
    Column("edit_id", Text, ForeignKey("edits.id")),
    *_texts("value", "by", "why", "at"),
)
"""What a lead made of a note: taken over by an edit, or refused; once and for all."""
Index("note_settlements_of_request", SETTLEMENTS.c.request_id)
