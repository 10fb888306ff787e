"""A session is cheap to look up, ends by itself, and cannot be made up."""

from __future__ import annotations

import base64
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import Any

import pytest
from sqlalchemy import select

from slackwater.desk.accounts import Accounts
from slackwater.desk.secret import digest_of
from slackwater.errors import SignInRefused, UsageError
from slackwater.store import Register, open_register
from slackwater.store.people_schema import SESSIONS
from tests.store.people.conftest import PASSWORD, Clock


def test_a_session_unused_for_twelve_hours_ends(accounts: Accounts, clock: Clock) -> None:
    """A second before it still holds, and being used is what counts."""
    session = accounts.sign_in("Ines", PASSWORD)
    clock.go(hours=11, minutes=59, seconds=59)
    assert accounts.of_session(session) is not None
    clock.go(hours=11, minutes=59, seconds=59)
    assert accounts.of_session(session) is not None
    clock.go(hours=12)
    assert accounts.of_session(session) is None


def test_a_session_ends_after_seven_days(accounts: Accounts, clock: Clock) -> None:
    """However much it is used."""
    session = accounts.sign_in("Ines", PASSWORD)
    for _ in range(7 * 4 - 1):
        clock.go(hours=6)
        assert accounts.of_session(session) is not None
    clock.go(hours=6)
    assert accounts.of_session(session) is None


def test_signing_out_ends_this_session_alone(accounts: Accounts) -> None:
    """The one in another browser goes on; signing out twice is signing out once."""
    here, there = accounts.sign_in("Ines", PASSWORD), accounts.begin("Ines", "header")
    accounts.sign_out(here)
    accounts.sign_out(here)
    assert accounts.of_session(here) is None
    assert accounts.of_session(there) is not None


def test_a_session_lasts_over_a_new_start(accounts: Accounts, url: str, clock: Clock) -> None:
    """It is kept in the database, not in the program."""
    session = accounts.sign_in("Ines", PASSWORD)
    with closing(open_register(url)) as again:
        assert Accounts(again, clock).of_session(session) == accounts.of_session(session)


def test_past_sessions_are_taken_away(accounts: Accounts, register: Register, clock: Clock) -> None:
    """The next sign-in leaves none of those that ended."""
    for _ in range(3):
        accounts.sign_in("Ines", PASSWORD)
    clock.go(hours=13)
    accounts.sign_in("Ines", PASSWORD)
    with register.connected.reading() as connection:
        assert len(connection.execute(select(SESSIONS)).all()) == 1


def test_last_seen_is_written_once_a_minute(
    accounts: Accounts, register: Register, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two hundred requests in ten minutes read as often, and write ten times at most."""
    session = accounts.sign_in("Ines", PASSWORD)
    token = accounts.make_token("Ines", "gis", "read", 9)["secret"]
    asks = {
        "session": lambda: accounts.of_session(session),
        "token": lambda: accounts.of_token(token),
        "header": lambda: accounts.of_name("Ines"),
    }
    real, counts = (register.connected.writing, register.connected.reading), [0, 0]

    def counted(which: int) -> Any:
        @contextmanager
        def count(**how: bool) -> Iterator[Any]:
            counts[which] += 1
            with real[which](**how) as connection:
                yield connection

        return count

    monkeypatch.setattr(register.connected, "writing", counted(0))
    monkeypatch.setattr(register.connected, "reading", counted(1))
    for name, ask in asks.items():
        clock.go(minutes=2)
        counts[:] = 0, 0
        for _ in range(200):
            assert ask() is not None
            clock.go(seconds=3)
        assert 9 <= counts[0] <= 10, name
        assert counts[1] == 200, name
    assert accounts.people()[0]["seen_at"] > "2026-03-02T09:30"


def test_nobody_waits_for_last_seen(accounts: Accounts, url: str, clock: Clock) -> None:
    """While another program writes, whoever calls is told at once; later it is written down."""
    session = accounts.sign_in("Ines", PASSWORD)
    clock.go(minutes=5)
    with closing(open_register(url)) as other, other.connected.writing():
        began = time.monotonic()
        assert accounts.of_session(session) is not None
        assert time.monotonic() - began < 5  # a writer would wait for 30 s
    assert accounts.people()[0]["seen_at"].startswith("2026-03-02T09:00")
    clock.go(minutes=1)
    accounts.of_session(session)
    assert accounts.people()[0]["seen_at"].startswith("2026-03-02T09:06")
    accounts.add_person("Bo", ["viewer"], None, "Ines")  # writers wait again as before


def test_what_is_kept_of_a_session_opens_nothing(accounts: Accounts) -> None:
    """Not its digest, which the database holds, nor anything made up."""
    session = accounts.sign_in("Ines", PASSWORD)
    for made_up in ("", digest_of(session), session[:-1], session + "A", "\x00", "é", "x" * 9_999,
                    "\ud800", "' OR 1=1 --"):  # fmt: skip
        assert accounts.of_session(made_up) is None
        assert accounts.of_token(made_up) is None
    assert accounts.of_token(session) is None  # nor is it a token


def test_sessions_cannot_be_guessed(accounts: Accounts) -> None:
    """Each has 256 random bits (at least 64 are asked for: OWASP ASVS 4.0.3, V3.2.2)."""
    sessions = {accounts.begin("Ines", "header") for _ in range(50)}
    assert len(sessions) == 50
    decoded = [base64.urlsafe_b64decode(each + "=") for each in sessions]
    assert {len(each) for each in decoded} == {32}
    ones = sum(bin(byte).count("1") for each in decoded for byte in each) / (50 * 256)
    assert 0.45 < ones < 0.55  # 11 times the spread of 12,800 fair coins either way


def test_others_vouch_only_for_whom_was_added(accounts: Accounts) -> None:
    """A proxy or a provider signs in nobody who has no account, and in no unknown way."""
    with pytest.raises(SignInRefused, match="can add you"):
        accounts.begin("Mallory", "oidc")
    with pytest.raises(UsageError):
        accounts.begin("Ines", "post")
    assert accounts.of_name("Mallory") is None
