"""What may a program show in a person's place? Tokens, narrow and for a time."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from slackwater.desk.roster import person_named
from slackwater.desk.secret import digest_of, new_secret
from slackwater.desk.times import written_at
from slackwater.desk.written import one_line
from slackwater.errors import NotHere, UsageError
from slackwater.people.roles import Scope
from slackwater.store.connected import Connected
from slackwater.store.tokens import Token, add_token, drop_token, tokens_of

MOST_DAYS = 365
MOST_TOKENS = 50
LET_IN = "let them in again first, with slackwater user unlock"
TOLD = ("id", "title", "scope", "made_at", "ends_at", "seen_at")


def told(token: Token) -> dict[str, Any]:
    """Give what is told of a token; never what it is known by."""
    return {name: getattr(token, name) or None for name in TOLD}


def list_of(connected: Connected, name: str) -> list[dict[str, Any]]:
    """Give a person's tokens, the newest first, those past their time too."""
    with connected.reading() as connection:
        person = person_named(connection, name)
        return [told(token) for token in tokens_of(connection, person.name_key)]


def make(
    connected: Connected, name: str, title: str, scope: str, days: int, now: datetime
) -> dict[str, Any]:
    """Make a token; its ``secret`` is told here and never again.

    Raises
    ------
    UsageError
        Where the title, the scope or the days will not do, the person is locked, or there are too
        many.
    NotHere
        Where there is nobody of the name.
    """
    if scope not in set(Scope):
        raise UsageError(f"a token's scope is one of {', '.join(Scope)}")
    written = one_line(title, "the title of a token", needed=True)
    secret, ends = new_secret(), ends_at(days, now)
    with connected.writing() as connection:
        person = person_named(connection, name)
        if person.locked_at:
            raise UsageError(f"{person.name} is locked, so a token would open nothing; {LET_IN}")
        if len(tokens_of(connection, person.name_key)) >= MOST_TOKENS:
            raise UsageError(f"there are {MOST_TOKENS} tokens already; end one that is not needed")
        token = Token(
            str(uuid4()), person.name_key, written, Scope(scope).value, digest_of(secret),
            written_at(now), ends,
        )  # fmt: skip
        add_token(connection, token)
    return {**told(token), "secret": secret}


def drop(connected: Connected, name: str, token_id: str) -> None:
    """End a token of a person; NotHere where they have none of this id."""
    with connected.writing() as connection:
        person = person_named(connection, name)
        if "\x00" in token_id or not drop_token(connection, person.name_key, token_id):
            raise NotHere("there is no such token, or not any more")


def ends_at(days: int, now: datetime) -> str:
    """Give when something ends that holds for some days.

    Raises
    ------
    UsageError
        Where it would not hold, or hold too long.
    """
    if not 1 <= days <= MOST_DAYS:
        raise UsageError(f"it holds for 1 to {MOST_DAYS} days, not {days}")
    return written_at(now + timedelta(days=days))
