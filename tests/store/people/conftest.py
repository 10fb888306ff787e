"""People over both stores, with a clock that goes when told and a quick way to keep passwords."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta

import pytest
from argon2 import PasswordHasher
from argon2.profiles import CHEAPEST

from slackwater.desk import passwords
from slackwater.desk.accounts import Accounts
from slackwater.store import Register

PASSWORD = "four plain words here"
OTHER = "some other plain words"
START = datetime(2026, 3, 2, 9, tzinfo=UTC)


class Clock:
    """The time, as a test says."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def go(self, **by: float) -> None:
        self.now += timedelta(**by)


class Compared(PasswordHasher):
    """Compares passwords, quickly, and counts with which parameters it did."""

    def __init__(self) -> None:
        cheap = CHEAPEST
        super().__init__(cheap.time_cost, cheap.memory_cost, cheap.parallelism)
        self.hashes: list[str] = []

    def verify(self, hash, password):  # type: ignore[no-untyped-def]
        self.hashes.append(hash)
        return super().verify(hash, password)


@pytest.fixture(autouse=True)
def compared(monkeypatch: pytest.MonkeyPatch) -> Iterator[Compared]:
    """Every password that is compared, told."""
    quick = Compared()
    monkeypatch.setattr(passwords, "_hasher", quick)
    passwords.nobodys_hash.cache_clear()
    yield quick
    passwords.nobodys_hash.cache_clear()


@pytest.fixture
def clock() -> Clock:
    """A clock that stands."""
    return Clock()


@pytest.fixture
def accounts(register: Register, clock: Clock) -> Accounts:
    """The people of the tiny catchment's database: Ines leads and looks after people."""
    made = Accounts(register, clock)
    made.add_person("Ines", ["lead", "admin"], PASSWORD, "the command line")
    return made


def told(does: Callable[[], object]) -> tuple[str, str]:
    """Say how something is refused."""
    try:
        does()
    except Exception as error:  # whichever it is, told to be compared
        return type(error).__name__, str(error)
    return "", ""
