"""Which table keeps the meetings? What was opened on which case, how it stands, and its minutes."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Table, Text, UniqueConstraint

from slackwater.store.schema import METADATA


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


MEETINGS = Table(
    "meetings",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("code", Text, nullable=False),
    Column("case_id", Text, ForeignKey("cases.id"), nullable=False),
    *_texts("key_digest", "opened_at", "by", "ends_at", "ended_at", "state", "minutes"),
    *_texts("agreed_case_id"),
    UniqueConstraint("code", name="meetings_code_key"),
)
"""Of phones nothing is kept. ``ended_at`` is "" while a meeting goes on; of the facilitator's key
only its SHA-256 is kept, and nothing once it has ended."""
Index("meetings_of_case", MEETINGS.c.case_id)
