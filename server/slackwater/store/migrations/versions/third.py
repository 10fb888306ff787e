"""The third form: what is seen in the field - runs, notes, choices, photos, and what came of them.

It stands on its own: later changes of these tables are later steps.
"""

from __future__ import annotations

from alembic import op
from sqlalchemy import (
    Column,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    PrimaryKeyConstraint,
    Text,
    UniqueConstraint,
)

revision = "0003"
down_revision = "0002"


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


def upgrade() -> None:
    """Make the tables, empty."""
    op.create_table(
        "runs",
        *_texts("id", "name", "on", "officer", "days", "plan", "data_version", "made_at", "by"),
        *_texts("ordered_at", "dropped_at"),
        PrimaryKeyConstraint("id", name="runs_pkey"),
    )
    op.create_table(
        "notes",
        Column("number", Integer, nullable=False, autoincrement=False),
        *_texts("id", "run_id", "code", "field", "typed", "unit", "value", "at", "phone"),
        *_texts("after", "by", "received_at"),
        PrimaryKeyConstraint("number", name="notes_pkey"),
        UniqueConstraint("id", name="notes_id_key"),
        ForeignKeyConstraint(["run_id"], ["runs.id"], "notes_run_id_fkey"),
    )
    op.create_index("notes_of_run", "notes", ["run_id"])
    op.create_index("notes_of_field", "notes", ["code", "field"])
    op.create_table(
        "note_choices",
        Column("number", Integer, nullable=False, autoincrement=False),
        *_texts("id", "code", "field", "note_ids", "pick", "by", "why", "at"),
        PrimaryKeyConstraint("number", name="note_choices_pkey"),
        UniqueConstraint("id", name="note_choices_id_key"),
        ForeignKeyConstraint(["pick"], ["notes.id"], "note_choices_pick_fkey"),
    )
    op.create_index("note_choices_of_field", "note_choices", ["code", "field"])
    op.create_table(
        "photos",
        *_texts("id", "note_id", "sent_digest", "place"),
        Column("width_px", Integer, nullable=False),
        Column("height_px", Integer, nullable=False),
        *_texts("by", "received_at"),
        Column("content", LargeBinary, nullable=False),
        PrimaryKeyConstraint("id", name="photos_pkey"),
        ForeignKeyConstraint(["note_id"], ["notes.id"], "photos_note_id_fkey"),
    )
    op.create_index("photos_of_note", "photos", ["note_id"])
    op.create_table(
        "note_settlements",
        *_texts("note_id", "request_id", "outcome"),
        Column("edit_id", Text),
        *_texts("value", "by", "why", "at"),
        PrimaryKeyConstraint("note_id", name="note_settlements_pkey"),
        ForeignKeyConstraint(["note_id"], ["notes.id"], "note_settlements_note_id_fkey"),
        ForeignKeyConstraint(["edit_id"], ["edits.id"], "note_settlements_edit_id_fkey"),
    )
    op.create_index("note_settlements_of_request", "note_settlements", ["request_id"])
