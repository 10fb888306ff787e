"""Who has an account, with which roles? Added, changed, locked, taken away."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from slackwater.desk.passwords import hash_of, require_sound_password
from slackwater.desk.times import written_at
from slackwater.errors import NotHere, UsageError
from slackwater.people.names import key_of, sound_name
from slackwater.people.roles import ANYONE_MAY_HOLD, Role
from slackwater.store.connected import Connected
from slackwater.store.people import Person, all_people, drop_person, find_person, put_person
from slackwater.store.sessions import drop_sessions_of
from slackwater.store.sign_in_tries import drop_tries, locked_names
from slackwater.store.tokens import drop_tokens_of

NEVER_NONE = (Role.LEAD, Role.ADMIN)
"""Roles that somebody keeps, once somebody has them."""


def told(person: Person, kept_out: Mapping[str, str]) -> dict[str, Any]:
    """Give what is told of a person; nothing of the password but whether there is one.

    Parameters
    ----------
    kept_out : key of a name -> until when wrong passwords keep it out.
    """
    return {
        "name": person.name,
        "roles": sorted(role.value for role in person.roles),
        "way": "password" if person.password_hash else "elsewhere",
        "locked": bool(person.locked_at),
        "kept_out_until": kept_out.get(person.name_key),
        "made_at": person.made_at,
        "seen_at": person.seen_at or None,
    }


def list_all(connected: Connected, now: datetime) -> list[dict[str, Any]]:
    """Give everybody with an account, by name."""
    with connected.reading() as connection:
        kept_out = locked_names(connection, written_at(now))
        return [told(person, kept_out) for person in all_people(connection)]


def roles_of(roles: Iterable[str]) -> frozenset[Role]:
    """Understand which roles are meant.

    Raises
    ------
    UsageError
        Where there is none, or one that nobody can be given.
    """
    asked = {role.strip().casefold() for role in roles}
    known = {role.value: role for role in ANYONE_MAY_HOLD}
    if not asked or asked - set(known):
        choice = ", ".join(role for role in Role if role in known)
        wrong = ", ".join(sorted(asked - set(known)))
        raise UsageError(
            f"give one or more of the roles {choice}" + (f"; not {wrong}" if wrong else "")
        )
    return frozenset(known[role] for role in asked)


def person_named(connection: Connection, name: str) -> Person:
    """Give the person of a name; NotHere where there is none."""
    person = find_person(connection, name)
    if person is None:
        raise NotHere("there is nobody of this name")
    return person


def add(
    connected: Connected,
    name: str,
    roles: Iterable[str],
    password: str | None,
    by: str,
    now: datetime,
) -> dict[str, Any]:
    """Give somebody an account; without a password they sign in elsewhere.

    Raises
    ------
    UsageError
        Where the name is taken, or it, a role or the password will not do.
    """
    sound, held = sound_name(name), roles_of(roles)
    kept = ""
    if password is not None:
        require_sound_password(password, sound)
        kept = hash_of(password)
    person = Person(key_of(sound), sound, held, kept, written_at(now), by)
    with connected.writing() as connection:
        if find_person(connection, sound):
            raise UsageError(f"there is somebody called {sound} already")
        put_person(connection, person)
        drop_tries(connection, person.name_key)
    return told(person, {})


def change(
    connected: Connected,
    name: str,
    *,
    roles: Iterable[str] | None,
    locked: bool | None,
    password: str | None,
    now: datetime,
) -> dict[str, Any]:
    """Change what is named; a new password or a lock ends the person's sessions.

    Raises
    ------
    NotHere
        Where there is nobody of the name.
    UsageError
        Where a role or the password will not do, or nobody would be left to lead or to look
        after the people.
    """
    held = None if roles is None else roles_of(roles)
    kept = None
    if password is not None:
        require_sound_password(password, name)
        kept = hash_of(password)
    with connected.writing() as connection:
        before = person_named(connection, name)
        after = before if held is None else replace(before, roles=held)
        if locked is not None:
            at = (before.locked_at or written_at(now)) if locked else ""
            after = replace(after, locked_at=at)
        if kept is not None:
            after = replace(after, password_hash=kept)
        _require_some_left(connection, before, after)
        put_person(connection, after)
        if kept is not None or locked:
            drop_sessions_of(connection, after.name_key)
        if kept is not None or locked is False:
            drop_tries(connection, after.name_key)
        return told(after, locked_names(connection, written_at(now)))


def remove(connected: Connected, name: str) -> None:
    """Take an account away, with its sessions and tokens; what it did stays in the history.

    Raises
    ------
    NotHere, UsageError
        As `change`.
    """
    with connected.writing() as connection:
        person = person_named(connection, name)
        _require_some_left(connection, person, None)
        drop_sessions_of(connection, person.name_key)
        drop_tokens_of(connection, person.name_key)
        drop_tries(connection, person.name_key)
        drop_person(connection, person.name_key)


def _require_some_left(connection: Connection, before: Person, after: Person | None) -> None:
    """Refuse to take the last lead or the last admin out of those who may come in."""
    lost = _working(before) - (_working(after) if after else frozenset())
    others = [each for each in all_people(connection) if each.name_key != before.name_key]
    for role in NEVER_NONE:
        if role in lost and not any(role in _working(each) for each in others):
            raise UsageError(
                f"{before.name} is the last {role} who may come in; give another that role first"
            )


def _working(person: Person) -> frozenset[Role]:
    return frozenset() if person.locked_at else person.roles
