"""Which programs may come in for a person? Tokens, found by the digest of what they show."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sqlalchemy import Connection, delete, insert, select, update

from slackwater.store.people import COLUMNS, Person, person_of
from slackwater.store.people_schema import PEOPLE, TOKENS


@dataclass(frozen=True)
class Token:
    """What a program shows; times are ISO, UTC, ``seen_at`` is "" for never."""

    id: str
    person: str
    title: str
    scope: str
    digest: str
    made_at: str
    ends_at: str
    seen_at: str = ""


def find_token(connection: Connection, digest: str) -> tuple[Token, Person] | None:
    """Give a token and whose it is; None where there is none."""
    its = [column.label(f"token_{column.name}") for column in TOKENS.c]
    asked = select(*its, *COLUMNS).join(PEOPLE).where(TOKENS.c.digest == digest)
    row = connection.execute(asked).mappings().first()
    if row is None:
        return None
    values = {column.name: row[f"token_{column.name}"] for column in TOKENS.c}
    return Token(**values), person_of(row)


def tokens_of(connection: Connection, person: str) -> list[Token]:
    """Give a person's tokens, the newest first."""
    asked = select(TOKENS).where(TOKENS.c.person == person)
    rows = connection.execute(asked.order_by(TOKENS.c.made_at.desc(), TOKENS.c.id)).mappings()
    return [Token(**row) for row in rows]


def add_token(connection: Connection, token: Token) -> None:
    """Keep a new token."""
    connection.execute(insert(TOKENS), asdict(token))


def put_token_seen(connection: Connection, digest: str, at: str) -> None:
    """Write down when a token was last used."""
    connection.execute(update(TOKENS).where(TOKENS.c.digest == digest).values(seen_at=at))


def drop_token(connection: Connection, person: str, token_id: str) -> bool:
    """Take one token of a person away; whether there was one."""
    its = (TOKENS.c.person == person) & (TOKENS.c.id == token_id)
    return bool(connection.execute(delete(TOKENS).where(its)).rowcount)


def drop_tokens_of(connection: Connection, person: str) -> None:
    """Take all tokens of a person away."""
    connection.execute(delete(TOKENS).where(TOKENS.c.person == person))
