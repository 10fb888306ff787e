"""The fourth form: meetings on a shared case - how they stand, and their minutes.

It stands on its own: later changes of this table are later steps.
"""

from __future__ import annotations

from alembic import op
from sqlalchemy import Column, ForeignKeyConstraint, PrimaryKeyConstraint, Text, UniqueConstraint

revision = "0004"
down_revision = "0003"


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


def upgrade() -> None:
    """Make the table, empty."""
    op.create_table(
        "meetings",
        *_texts("id", "code", "case_id", "key_digest", "opened_at", "by", "ends_at", "ended_at"),
        *_texts("state", "minutes", "agreed_case_id"),
        PrimaryKeyConstraint("id", name="meetings_pkey"),
        UniqueConstraint("code", name="meetings_code_key"),
        ForeignKeyConstraint(["case_id"], ["cases.id"], "meetings_case_id_fkey"),
    )
    op.create_index("meetings_of_case", "meetings", ["case_id"])
