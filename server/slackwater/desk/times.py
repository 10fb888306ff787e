"""What is the time, and how is it written down?"""

from __future__ import annotations

from datetime import UTC, datetime


def utc_now() -> datetime:
    """Give the time, in UTC."""
    return datetime.now(UTC)


def written_at(time: datetime) -> str:
    """Give a time as ISO text, UTC; later ones sort behind earlier ones."""
    return time.astimezone(UTC).isoformat(timespec="milliseconds")


def read_at(text: str) -> datetime:
    """Give the time that was written down."""
    return datetime.fromisoformat(text)
