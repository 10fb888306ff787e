"""Which tables keep the people, what stands for them, and who may look without an account?"""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Integer, Table, Text, UniqueConstraint

from slackwater.store.schema import METADATA


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


PEOPLE = Table(
    "people",
    METADATA,
    Column("name_key", Text, primary_key=True),
    *_texts("name", "roles", "password_hash", "locked_at", "made_at", "made_by", "seen_at"),
)
"""Whoever has an account. A password is kept as argon2id's hash, "" where there is none."""

SESSIONS = Table(
    "sessions",
    METADATA,
    Column("digest", Text, primary_key=True),
    Column("person", Text, ForeignKey("people.name_key"), nullable=False),
    *_texts("way", "began_at", "seen_at"),
)
"""Whoever is signed in. Of what the browser holds only its SHA-256 is kept."""
Index("sessions_of_person", SESSIONS.c.person)

TOKENS = Table(
    "tokens",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("person", Text, ForeignKey("people.name_key"), nullable=False),
    *_texts("title", "scope", "digest", "made_at", "ends_at", "seen_at"),
    UniqueConstraint("digest", name="tokens_digest_key"),
)
"""What programs show in place of a password; again only its SHA-256 is kept."""
Index("tokens_of_person", TOKENS.c.person)

SIGN_IN_TRIES = Table(
    "sign_in_tries",
    METADATA,
    Column("who", Text, primary_key=True),
    Column("count", Integer, nullable=False),
    *_texts("last_at", "locked_until"),
)
"""Wrong passwords in a row, by name; also for names that nobody has."""

CASE_LINKS = Table(
    "case_links",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("case_id", Text, ForeignKey("cases.id"), nullable=False),
    *_texts("digest", "made_at", "by", "ends_at", "ended_at"),
    UniqueConstraint("digest", name="case_links_digest_key"),
)
"""Public links to shared cases; ``ended_at`` is "" until one is revoked."""
Index("case_links_of_case", CASE_LINKS.c.case_id)

PASSING = (SESSIONS, SIGN_IN_TRIES)
"""Tables of the hour: no backup carries them."""
