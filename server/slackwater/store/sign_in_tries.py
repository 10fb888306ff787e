"""How many wrong passwords were there in a row? One row a name, also for names nobody has."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sqlalchemy import Connection, delete, insert, select, update

from slackwater.store.people_schema import SIGN_IN_TRIES


@dataclass(frozen=True)
class Tries:
    """Tries for one name; times are ISO, UTC, ``locked_until`` is "" where none was locked."""

    who: str
    count: int
    last_at: str
    locked_until: str


def find_tries(connection: Connection, who: str) -> Tries | None:
    """Give the tries for a name, None where the last one was right."""
    asked = select(SIGN_IN_TRIES).where(SIGN_IN_TRIES.c.who == who)
    row = connection.execute(asked).mappings().first()
    return None if row is None else Tries(**row)


def locked_names(connection: Connection, now: str) -> dict[str, str]:
    """Give who is kept out by wrong passwords, each with until when."""
    asked = select(SIGN_IN_TRIES.c.who, SIGN_IN_TRIES.c.locked_until).where(
        SIGN_IN_TRIES.c.locked_until > now
    )
    return {row.who: row.locked_until for row in connection.execute(asked)}


def put_tries(connection: Connection, tries: Tries) -> None:
    """Keep the tries for a name."""
    its = SIGN_IN_TRIES.c.who == tries.who
    if not connection.execute(update(SIGN_IN_TRIES).where(its).values(**asdict(tries))).rowcount:
        connection.execute(insert(SIGN_IN_TRIES), asdict(tries))


def drop_tries(connection: Connection, who: str) -> None:
    """Begin again to count for a name."""
    connection.execute(delete(SIGN_IN_TRIES).where(SIGN_IN_TRIES.c.who == who))


def drop_old_tries(connection: Connection, before: str) -> None:
    """Forget names that nobody tried since, so that made-up ones do not pile up."""
    connection.execute(delete(SIGN_IN_TRIES).where(SIGN_IN_TRIES.c.last_at < before))
