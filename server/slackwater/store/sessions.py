"""Who is signed in? Sessions, found by the digest of what the browser holds."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sqlalchemy import Connection, delete, insert, or_, select, update

from slackwater.store.people import COLUMNS, Person, person_of
from slackwater.store.people_schema import PEOPLE, SESSIONS


@dataclass(frozen=True)
class Session:
    """One person signed in with one browser; times are ISO, UTC."""

    digest: str
    person: str
    way: str
    began_at: str
    seen_at: str


def find_session(connection: Connection, digest: str) -> tuple[Session, Person] | None:
    """Give a session and whose it is, in one look at two keys; None where there is none."""
    its = [column.label(f"session_{column.name}") for column in SESSIONS.c]
    asked = select(*its, *COLUMNS).join(PEOPLE).where(SESSIONS.c.digest == digest)
    row = connection.execute(asked).mappings().first()
    if row is None:
        return None
    values = {column.name: row[f"session_{column.name}"] for column in SESSIONS.c}
    return Session(**values), person_of(row)


def add_session(connection: Connection, session: Session) -> None:
    """Keep a new session."""
    connection.execute(insert(SESSIONS), asdict(session))


def put_session_seen(connection: Connection, digest: str, at: str) -> None:
    """Write down when a session was last used; one that ended meanwhile stays away."""
    connection.execute(update(SESSIONS).where(SESSIONS.c.digest == digest).values(seen_at=at))


def drop_session(connection: Connection, digest: str) -> None:
    """End a session, if there is one."""
    connection.execute(delete(SESSIONS).where(SESSIONS.c.digest == digest))


def drop_sessions_of(connection: Connection, person: str, keeping: str = "") -> None:
    """End a person's sessions but the one of this digest."""
    its = (SESSIONS.c.person == person) & (SESSIONS.c.digest != keeping)
    connection.execute(delete(SESSIONS).where(its))


def drop_past_sessions(connection: Connection, began_before: str, seen_before: str) -> None:
    """Take sessions away that began, or were last used, too long ago."""
    past = or_(SESSIONS.c.began_at < began_before, SESSIONS.c.seen_at < seen_before)
    connection.execute(delete(SESSIONS).where(past))
