"""Who calls, and what may they do? Sessions, tokens, people and public links, in one place.

Each story has a module of its own; what doors need of them is here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from slackwater.desk import case_links, roster, sign_in, tokens
from slackwater.desk.last_seen import LastSeen
from slackwater.desk.passwords import hash_of, nobodys_hash, require_sound_password
from slackwater.desk.secret import digest_of
from slackwater.desk.times import read_at, utc_now
from slackwater.errors import SignInRefused, UsageError
from slackwater.people.roles import Caller, Scope
from slackwater.store import Register, open_register
from slackwater.store.people import Person, find_person, put_person, put_seen
from slackwater.store.sessions import drop_session, drop_sessions_of, find_session, put_session_seen
from slackwater.store.tokens import find_token, put_token_seen

WAYS = ("password", "header", "oidc")


class Accounts:
    """The people of one database; may be used from many threads."""

    def __init__(self, register: Register, clock: Callable[[], datetime] = utc_now) -> None:
        self._connected = register.connected
        self._clock = clock
        self._seen = LastSeen(register.connected)
        nobodys_hash()  # made now, so that the first unknown name takes no longer than others

    def of_session(self, secret: str) -> Caller | None:
        """Give who holds a session; None where it ended, or its person is locked."""
        digest, now = digest_of(secret), self._clock()
        with self._connected.reading() as connection:
            found = find_session(connection, digest)
        if found is None or found[1].locked_at or sign_in.is_over(found[0], now):
            return None
        session, person = found

        def put(connection: Connection, at: str) -> None:
            put_session_seen(connection, digest, at)
            put_seen(connection, person.name_key, at)

        self._seen.tell(digest, session.seen_at, now, put)
        return _caller(person)

    def of_token(self, secret: str) -> Caller | None:
        """Give who a token stands for, as narrow as it is; None where it does not hold."""
        digest, now = digest_of(secret), self._clock()
        with self._connected.reading() as connection:
            found = find_token(connection, digest)
        if found is None or found[1].locked_at or read_at(found[0].ends_at) <= now:
            return None
        token, person = found

        def put(connection: Connection, at: str) -> None:
            put_token_seen(connection, digest, at)
            put_seen(connection, person.name_key, at)

        self._seen.tell(digest, token.seen_at, now, put)
        return _caller(person).within(Scope(token.scope))

    def of_name(self, name: str) -> Caller | None:
        """Give the caller another program vouches for; None where unknown or locked."""
        with self._connected.reading() as connection:
            person = find_person(connection, name)
        if person is None or person.locked_at:
            return None
        key = person.name_key
        self._seen.tell(
            f"/{key}", person.seen_at, self._clock(), lambda to, at: put_seen(to, key, at)
        )
        return _caller(person)

    def sign_in(self, name: str, password: str) -> str:
        """Sign somebody in by password; gives what their browser is to hold.

        Raises
        ------
        SignInRefused, LockedOut
            As `slackwater.desk.sign_in.proven`.
        """
        now = self._clock()

        def then(connection: Connection, person: Person) -> str:
            return sign_in.begin_session(connection, person, "password", now)

        return sign_in.proven(self._connected, name, password, now, then)

    def begin(self, name: str, way: str) -> str:
        """Sign in somebody whom another program vouches for.

        Raises
        ------
        SignInRefused
            Where nobody of the name may come in.
        """
        if way not in WAYS:
            raise UsageError(f"a way to sign in is one of {', '.join(WAYS)}")
        with self._connected.writing() as connection:
            person = find_person(connection, name)
            if person is None or person.locked_at:
                raise SignInRefused(sign_in.NOT_KNOWN)
            return sign_in.begin_session(connection, person, way, self._clock())

    def sign_out(self, secret: str) -> None:
        """End a session, if it still holds."""
        with self._connected.writing() as connection:
            drop_session(connection, digest_of(secret))

    def change_password(self, name: str, old: str, new: str, *, keeping: str = "") -> None:
        """Change one's own password; ends the person's sessions but the one to keep.

        Raises
        ------
        SignInRefused, LockedOut
            Where the old password is not right, counted as when signing in.
        UsageError
            Where the new one will not do.
        """
        require_sound_password(new, name)
        kept = hash_of(new)

        def then(connection: Connection, person: Person) -> None:
            put_person(connection, replace(person, password_hash=kept))
            drop_sessions_of(connection, person.name_key, digest_of(keeping) if keeping else "")

        sign_in.proven(self._connected, name, old, self._clock(), then)

    def people(self) -> list[dict[str, Any]]:
        """Give everybody with an account, by name."""
        return roster.list_all(self._connected, self._clock())

    def add_person(
        self, name: str, roles: Iterable[str], password: str | None, by: str
    ) -> dict[str, Any]:
        """Give somebody an account, see `slackwater.desk.roster.add`."""
        return roster.add(self._connected, name, roles, password, by, self._clock())

    def change_person(
        self,
        name: str,
        *,
        roles: Iterable[str] | None = None,
        locked: bool | None = None,
        password: str | None = None,
    ) -> dict[str, Any]:
        """Change what is named, see `slackwater.desk.roster.change`."""
        return roster.change(
            self._connected, name, roles=roles, locked=locked, password=password, now=self._clock()
        )

    def remove_person(self, name: str) -> None:
        """Take an account away, see `slackwater.desk.roster.remove`."""
        roster.remove(self._connected, name)

    def tokens_of(self, name: str) -> list[dict[str, Any]]:
        """Give a person's tokens, the newest first."""
        return tokens.list_of(self._connected, name)

    def make_token(self, name: str, title: str, scope: str, days: int) -> dict[str, Any]:
        """Make a token, see `slackwater.desk.tokens.make`."""
        return tokens.make(self._connected, name, title, scope, days, self._clock())

    def drop_token(self, name: str, token_id: str) -> None:
        """End a token of a person; NotHere where they have none of this id."""
        tokens.drop(self._connected, name, token_id)

    def links_of(self, case_id: str) -> list[dict[str, Any]]:
        """Give the public links to a case, the newest first."""
        return case_links.list_of(self._connected, case_id)

    def link_case(self, case_id: str, days: int, by: str) -> dict[str, Any]:
        """Make a public link to a shared case, see `slackwater.desk.case_links.make`."""
        return case_links.make(self._connected, case_id, days, by, self._clock())

    def end_link(self, link_id: str) -> None:
        """Revoke a link; NotHere where there is none of this id."""
        case_links.end(self._connected, link_id, self._clock())

    def case_of_link(self, secret: str) -> str:
        """Give the case a link leads to; NotHere, told alike, where it does not hold."""
        return case_links.case_of(self._connected, secret, self._clock())

    def close(self) -> None:
        """Let go of the database."""
        self._connected.close()


def opened_accounts(url: str) -> Accounts:
    """Open the people of a database, for commands.

    Raises
    ------
    UsageError, StoreFailed
        As `slackwater.store.open_register`.
    """
    return Accounts(open_register(url))


def _caller(person: Person) -> Caller:
    return Caller(person.name, person.roles)
