"""A password opens an account; guessing is slow, and tells nothing of who has one."""

from __future__ import annotations

from threading import Thread

import pytest
from argon2 import PasswordHasher, extract_parameters
from sqlalchemy import select

from slackwater.desk import passwords
from slackwater.desk.accounts import Accounts
from slackwater.errors import LockedOut, SignInRefused, UsageError
from slackwater.people.roles import Caller, Role
from slackwater.store import Register
from slackwater.store.people_schema import PEOPLE, SIGN_IN_TRIES
from tests.store.people.conftest import OTHER, PASSWORD, Clock, Compared, told

WRONG = "not at all these words"


def wrong(accounts: Accounts, name: str = "Ines", times: int = 1) -> list[tuple[str, str]]:
    """Try wrong passwords; say how each was refused."""
    return [told(lambda: accounts.sign_in(name, WRONG)) for _ in range(times)]


@pytest.mark.parametrize("name", ["Ines", "ines", " INES "])
def test_the_right_password_opens(accounts: Accounts, name: str) -> None:
    """Whatever the capitals of the name; those of the password count."""
    caller = accounts.of_session(accounts.sign_in(name, PASSWORD))
    assert caller == Caller("Ines", frozenset({Role.LEAD, Role.ADMIN}))
    with pytest.raises(SignInRefused):
        accounts.sign_in(name, PASSWORD.upper())


def test_a_password_is_its_letters_not_their_bytes(accounts: Accounts) -> None:
    """The same letters made by another keyboard are the same password (NFKC)."""
    accounts.add_person("Bo", ["viewer"], "caf\u00e9 \ufb01eld words", "Ines")
    assert accounts.sign_in("Bo", "cafe\u0301 field words")
    with pytest.raises(SignInRefused):
        accounts.sign_in("Bo", "cafe field words")


def test_refusals_are_told_alike(accounts: Accounts, compared: Compared) -> None:
    """Nobody, a wrong password, a locked person and one without a password: one answer, and one
    comparison of the same cost each.
    """
    accounts.add_person("Bo", ["viewer"], PASSWORD, "Ines")
    accounts.change_person("Bo", locked=True)
    accounts.add_person("Cy", ["viewer"], None, "Ines")
    compared.hashes.clear()
    asked = [("Nobody", WRONG), ("Ines", WRONG), ("Bo", PASSWORD), ("Cy", WRONG), ("a/b", WRONG),
             ("Nobody", ""), ("x" * 500, "y" * 500)]  # fmt: skip
    answers = {told(lambda each=each: accounts.sign_in(*each)) for each in asked}
    assert answers == {("SignInRefused", "this name and password do not open an account here")}
    assert len(compared.hashes) == len(asked)
    assert len({str(extract_parameters(each)) for each in compared.hashes}) == 1


def test_five_wrong_passwords_lock(accounts: Accounts, clock: Clock) -> None:
    """The right one is not looked at either until a quarter of an hour is over."""
    assert {each[0] for each in wrong(accounts, times=5)} == {"SignInRefused"}
    clock.go(minutes=14, seconds=59)
    with pytest.raises(LockedOut, match=r"in 1 minute$"):
        accounts.sign_in("Ines", PASSWORD)
    clock.go(seconds=1)
    assert accounts.sign_in("Ines", PASSWORD)


def test_a_lock_leaves_whoever_is_in(accounts: Accounts) -> None:
    """Someone else's guesses do not put a person out who is signed in."""
    session = accounts.sign_in("Ines", PASSWORD)
    wrong(accounts, times=6)
    assert accounts.of_session(session) is not None


def test_it_is_five_in_a_row(accounts: Accounts) -> None:
    """A right password begins the count anew."""
    for _ in range(3):
        assert {each[0] for each in wrong(accounts, times=4)} == {"SignInRefused"}
        assert accounts.sign_in("Ines", PASSWORD)


def test_each_lock_is_twice_as_long(accounts: Accounts, clock: Clock) -> None:
    """15 minutes, then 30, and so on; never more than a day."""
    minutes = []
    for _ in range(9):
        wrong(accounts, times=5)
        ((kind, words),) = wrong(accounts)
        assert kind == "LockedOut"
        minutes.append(int(words.split()[-2]))
        clock.go(minutes=minutes[-1])
    assert minutes == [15, 30, 60, 120, 240, 480, 960, 1440, 1440]


def test_unknown_names_lock_alike(accounts: Accounts, clock: Clock) -> None:
    """Over hours of guesses, a name that nobody has is answered as one that somebody has."""
    known, unknown = [], []
    for _ in range(40):
        known += wrong(accounts, "Ines")
        unknown += wrong(accounts, "Nobody")
        clock.go(minutes=7)
    assert known == unknown
    assert {each[0] for each in known} == {"SignInRefused", "LockedOut"}


def test_fewer_than_a_hundred_guesses_an_hour(
    accounts: Accounts, clock: Clock, compared: Compared
) -> None:
    """OWASP ASVS 4.0.3, V2.2.1: no more than 100 failed tries an hour for one account; here 15."""
    compared.hashes.clear()
    for _ in range(240):
        wrong(accounts)
        clock.go(seconds=15)
    assert len(compared.hashes) == 15


def test_many_guesses_at_once_are_no_more_than_five(accounts: Accounts, compared: Compared) -> None:
    """A try is counted before it is looked at, so threads gain nothing."""
    compared.hashes.clear()
    answers: list[tuple[str, str]] = []
    threads = [Thread(target=lambda: answers.extend(wrong(accounts))) for _ in range(16)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(compared.hashes) == 5
    assert sorted(kind for kind, _ in answers) == ["LockedOut"] * 11 + ["SignInRefused"] * 5


@pytest.mark.parametrize("how", [{"locked": False}, {"password": OTHER}])
def test_an_admin_ends_a_lock(accounts: Accounts, how: dict[str, object]) -> None:
    """Unlocked, or given a new password, a person may try again at once."""
    wrong(accounts, times=5)
    accounts.change_person("Ines", **how)
    assert accounts.sign_in("Ines", how.get("password", PASSWORD))


def test_what_was_typed_as_a_name_is_not_kept(accounts: Accounts, register: Register) -> None:
    """People type their password where the name belongs: tries keep a few digits, not the text."""
    wrong(accounts, PASSWORD)
    with register.connected.reading() as connection:
        (row,) = connection.execute(select(SIGN_IN_TRIES)).all()
    assert len(row.who) == len("/") + 6


def test_old_tries_are_forgotten(accounts: Accounts, register: Register, clock: Clock) -> None:
    """Made-up names do not pile up, and four wrong passwords last week are no start today."""
    for number in range(20):
        wrong(accounts, f"made up {number}")
    wrong(accounts, times=4)
    clock.go(days=2, seconds=1)
    assert wrong(accounts, times=2)[1][0] == "SignInRefused"
    wrong(accounts, "another")
    with register.connected.reading() as connection:
        assert len(connection.execute(select(SIGN_IN_TRIES)).all()) == 2


def test_ones_own_password(accounts: Accounts) -> None:
    """Changed with the old one, it ends the person's other sessions; the old one opens no more."""
    here, there = accounts.sign_in("Ines", PASSWORD), accounts.sign_in("Ines", PASSWORD)
    accounts.change_password("Ines", PASSWORD, OTHER, keeping=here)
    assert accounts.of_session(here) is not None
    assert accounts.of_session(there) is None
    with pytest.raises(SignInRefused):
        accounts.sign_in("Ines", PASSWORD)
    accounts.change_password("Ines", OTHER, PASSWORD)
    assert accounts.of_session(here) is None


def test_the_old_password_cannot_be_guessed(accounts: Accounts) -> None:
    """Changing a password counts wrong ones as signing in does, and a poor new one is refused."""
    with pytest.raises(UsageError):
        accounts.change_password("Ines", PASSWORD, "short")
    answers = [told(lambda: accounts.change_password("Ines", WRONG, OTHER)) for _ in range(6)]
    assert [kind for kind, _ in answers] == ["SignInRefused"] * 5 + ["LockedOut"]


def test_a_password_kept_in_an_older_way_is_kept_anew(
    accounts: Accounts, register: Register, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the next right sign-in its hash has the parameters of today, and it opens as before."""
    monkeypatch.setattr(passwords, "_hasher", PasswordHasher(2, 64, 1))
    session = accounts.sign_in("Ines", PASSWORD)
    with register.connected.reading() as connection:
        kept = connection.execute(select(PEOPLE.c.password_hash)).scalar_one()
    assert extract_parameters(kept).time_cost == 2
    assert accounts.of_session(session) is not None
    assert accounts.sign_in("Ines", PASSWORD)
