"""The second form: people with roles, their sessions and tokens, and public links to cases.

It stands on its own: later changes of these tables are later steps.
"""

from __future__ import annotations

from alembic import op
from sqlalchemy import (
    Column,
    ForeignKeyConstraint,
    Integer,
    PrimaryKeyConstraint,
    Text,
    UniqueConstraint,
)

revision = "0002"
down_revision = "0001"


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


def upgrade() -> None:
    """Make the tables, empty: nobody has an account until one is given."""
    op.create_table(
        "people",
        *_texts("name_key", "name", "roles", "password_hash", "locked_at"),
        *_texts("made_at", "made_by", "seen_at"),
        PrimaryKeyConstraint("name_key", name="people_pkey"),
    )
    op.create_table(
        "sessions",
        *_texts("digest", "person", "way", "began_at", "seen_at"),
        PrimaryKeyConstraint("digest", name="sessions_pkey"),
        ForeignKeyConstraint(["person"], ["people.name_key"], "sessions_person_fkey"),
    )
    op.create_index("sessions_of_person", "sessions", ["person"])
    op.create_table(
        "tokens",
        *_texts("id", "person", "title", "scope", "digest", "made_at", "ends_at", "seen_at"),
        PrimaryKeyConstraint("id", name="tokens_pkey"),
        UniqueConstraint("digest", name="tokens_digest_key"),
        ForeignKeyConstraint(["person"], ["people.name_key"], "tokens_person_fkey"),
    )
    op.create_index("tokens_of_person", "tokens", ["person"])
    op.create_table(
        "sign_in_tries",
        *_texts("who"),
        Column("count", Integer, nullable=False),
        *_texts("last_at", "locked_until"),
        PrimaryKeyConstraint("who", name="sign_in_tries_pkey"),
    )
    op.create_table(
        "case_links",
        *_texts("id", "case_id", "digest", "made_at", "by", "ends_at", "ended_at"),
        PrimaryKeyConstraint("id", name="case_links_pkey"),
        UniqueConstraint("digest", name="case_links_digest_key"),
        ForeignKeyConstraint(["case_id"], ["cases.id"], "case_links_case_id_fkey"),
    )
    op.create_index("case_links_of_case", "case_links", ["case_id"])
