"""Is it this person? Passwords told alike whoever is asked for, and sessions that end.

A try is counted before the password is looked at, so that many at once are no more tries than one
by one. Names that nobody has are counted like others: nothing here tells who has an account.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TypeVar

from sqlalchemy import Connection

from slackwater.desk.passwords import hash_of, is_outdated, matches
from slackwater.desk.secret import digest_of, new_secret
from slackwater.desk.times import read_at, written_at
from slackwater.errors import LockedOut, SignInRefused
from slackwater.people.names import key_of
from slackwater.store.connected import Connected
from slackwater.store.people import Person, find_person, put_person, put_seen
from slackwater.store.sessions import Session, add_session, drop_past_sessions
from slackwater.store.sign_in_tries import (
    Tries,
    drop_old_tries,
    drop_tries,
    find_tries,
    put_tries,
)

T = TypeVar("T")

IDLE = timedelta(hours=12)
TOTAL = timedelta(days=7)
WRONG_IN_A_ROW = 5
FIRST_LOCK, LONGEST_LOCK = timedelta(minutes=15), timedelta(days=1)
FORGOTTEN_AFTER = timedelta(days=2)

REFUSED = "this name and password do not open an account here"
NOT_KNOWN = "nobody of this name may come in here; whoever looks after the service can add you"


def proven(
    connected: Connected,
    name: str,
    password: str,
    now: datetime,
    then: Callable[[Connection, Person], T],
) -> T:
    """Do something for the person whom a name and a password stand for.

    Parameters
    ----------
    then : done in the transaction that finds the person unchanged.

    Raises
    ------
    LockedOut
        After too many wrong passwords, whether there is somebody of the name or not.
    SignInRefused
        Where there is nobody, the password is wrong, or the person is locked; told alike.
    """
    with connected.writing() as connection:
        person = find_person(connection, name)
        who = person.name_key if person else _nobodys_key(name)
        locked_until = _count_try(connection, who, now)
    if locked_until:
        minutes = -(-(read_at(locked_until) - now) // timedelta(minutes=1))
        when = "1 minute" if minutes == 1 else f"{minutes} minutes"
        raise LockedOut(f"too many wrong passwords for this name; try again in {when}")
    kept = person.password_hash if person else ""
    if not matches(kept, password) or person is None or person.locked_at:
        raise SignInRefused(REFUSED)
    better = hash_of(password) if is_outdated(kept) else kept
    with connected.writing() as connection:
        again = find_person(connection, name)
        if again is None or again.locked_at or again.password_hash != kept:
            raise SignInRefused(REFUSED)  # changed while the password was compared
        drop_tries(connection, who)
        if better != kept:
            again = replace(again, password_hash=better)
            put_person(connection, again)
        return then(connection, again)


def begin_session(connection: Connection, person: Person, way: str, now: datetime) -> str:
    """Sign a person in; gives what their browser is to hold."""
    secret, at = new_secret(), written_at(now)
    drop_past_sessions(connection, written_at(now - TOTAL), written_at(now - IDLE))
    add_session(connection, Session(digest_of(secret), person.name_key, way, at, at))
    put_seen(connection, person.name_key, at)
    return secret


def is_over(session: Session, now: datetime) -> bool:
    """Whether a session is past its time, unused or altogether."""
    return now - read_at(session.seen_at) >= IDLE or now - read_at(session.began_at) >= TOTAL


def _count_try(connection: Connection, who: str, now: datetime) -> str:
    """Count a try; gives until when none counts, "" where this one does."""
    known = find_tries(connection, who)
    if known and known.locked_until > written_at(now):
        return known.locked_until
    if known is None:
        drop_old_tries(connection, written_at(now - FORGOTTEN_AFTER))
    count = 1
    if known and now - read_at(known.last_at) < FORGOTTEN_AFTER:
        count = known.count + 1
    until = ""
    if count % WRONG_IN_A_ROW == 0:
        doubled = min(count // WRONG_IN_A_ROW - 1, 10)
        until = written_at(now + min(FIRST_LOCK * 2**doubled, LONGEST_LOCK))
    put_tries(connection, Tries(who, count, written_at(now), until))
    return ""


def _nobodys_key(name: str) -> str:
    """Give what stands for a name that nobody has.

    A few digits of its digest, after a slash, which no name holds: people write passwords where
    a name belongs, so what was written must not be found out from here.
    """
    written = key_of(name).encode("utf-8", "surrogatepass")
    return "/" + hashlib.sha256(written).hexdigest()[:6]
