"""The commands about people: what they print, and that no secret is printed but once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from slackwater.cli import app
from slackwater.desk.accounts import Accounts
from slackwater.desk.sign_in import FIRST_LOCK, WRONG_IN_A_ROW
from slackwater.errors import LockedOut, NotHere, SignInRefused, UsageError
from slackwater.people.roles import Caller, Role
from slackwater.store import open_register

PASSWORD = "four plain words here"


@pytest.fixture
def database(tmp_path: Path) -> str:
    """A database with nobody in it."""
    path = str(tmp_path / "people.sqlite")
    open_register(path, create=True).close()
    return path


@pytest.fixture
def accounts(database: str) -> Iterator[Accounts]:
    """Its people, as the service knows them."""
    with closing(open_register(database)) as register:
        yield Accounts(register)


class User:
    """Runs `slackwater user`."""

    def __init__(self, database: str) -> None:
        self._more = ("--database", database)

    def __call__(self, *words: str, typed: str = "") -> Result:
        return CliRunner().invoke(app, ["user", *words, *self._more], input=typed)

    def out(self, *words: str, typed: str = "") -> str:
        done = self(*words, typed=typed)
        assert done.exit_code == 0, done.output
        return done.stdout


@pytest.fixture
def user(database: str) -> User:
    """The command, over that database."""
    return User(database)


def test_a_password_is_asked_for_twice(user: User, accounts: Accounts) -> None:
    """It is not shown, and what was typed opens the account."""
    done = user("add", "Ines", "--roles", "lead,admin", typed=f"{PASSWORD}\n{PASSWORD}\n")
    assert "added Ines: admin, lead" in done.stdout
    assert PASSWORD not in done.output
    assert accounts.of_session(accounts.sign_in("ines", PASSWORD)) == Caller(
        "Ines", frozenset({Role.LEAD, Role.ADMIN})
    )


def test_two_that_differ_are_asked_again(user: User, accounts: Accounts) -> None:
    """A slip of the finger does not become a password; giving up adds nobody."""
    typed = f"{PASSWORD}\nfour plain words hete\n"
    assert user("add", "Bo", "--roles", "viewer", typed=typed).exit_code != 0
    assert accounts.people() == []
    user.out("add", "Bo", "--roles", "viewer", typed=f"{typed}{PASSWORD}\n{PASSWORD}\n")
    assert accounts.sign_in("Bo", PASSWORD)


def test_a_password_may_come_from_a_program(user: User, accounts: Accounts) -> None:
    """With --password-stdin one line is read, its end left out."""
    user.out("add", "Bo", "--roles", "viewer", "--password-stdin", typed=f"{PASSWORD}\n")
    user.out("password", "bo", "--password-stdin", typed="five other plain words\r\n")
    assert accounts.sign_in("Bo", "five other plain words")


def test_somebody_who_signs_in_elsewhere(user: User, accounts: Accounts) -> None:
    """No password is asked for; the list says so."""
    user.out("add", "Bo Ek", "--roles", "viewer, field", "--elsewhere")
    assert user.out("list") == "Bo Ek: field, viewer; signs in elsewhere; never seen\n"
    assert accounts.of_name("bo ek") == Caller("Bo Ek", frozenset({Role.FIELD, Role.VIEWER}))
    both = user("add", "Cy", "--roles", "viewer", "--elsewhere", "--password-stdin")
    assert isinstance(both.exception, UsageError)


def test_an_empty_list_says_how_to_begin(user: User) -> None:
    """Nobody is there until somebody is added."""
    assert "slackwater user add" in user.out("list")


def test_roles_locks_and_removal(user: User, accounts: Accounts) -> None:
    """Each command says how the person now stands; the last lead stays."""
    for name in ("Ines", "Bo"):
        user.out("add", name, "--roles", "lead", "--elsewhere")
    assert user.out("roles", "Bo", "viewer,scientist").startswith("Bo: scientist, viewer")
    assert "; locked" in user.out("lock", "Bo")
    assert accounts.of_name("Bo") is None
    assert "locked" not in user.out("unlock", "Bo")
    refused = user("remove", "Ines")
    assert isinstance(refused.exception, UsageError)
    assert "the last lead" in str(refused.exception)
    assert user.out("remove", "Bo") == "removed Bo\n"
    assert isinstance(user("lock", "Bo").exception, NotHere)


def test_who_is_kept_out_by_wrong_passwords_is_told(user: User, accounts: Accounts) -> None:
    """The list says until when, of that name alone; unlock lets them in and the list says so."""
    for name in ("Ines", "Bo"):
        user.out("add", name, "--roles", "lead", "--password-stdin", typed=f"{PASSWORD}\n")
    for _ in range(WRONG_IN_A_ROW):
        with pytest.raises(SignInRefused):
            accounts.sign_in("bo", "not the password")
    (bo, ines) = user.out("list").splitlines()
    told = re.search(r"kept out by wrong passwords until (.+) UTC", bo)
    assert told
    left = datetime.strptime(f"{told[1]}+0000", "%Y-%m-%d %H:%M%z") - datetime.now(UTC)
    assert FIRST_LOCK - timedelta(minutes=1) <= left <= FIRST_LOCK + timedelta(minutes=1)
    assert "kept out" not in ines
    with pytest.raises(LockedOut):
        accounts.sign_in("Bo", PASSWORD)
    assert "kept out" not in user.out("unlock", "Bo")
    assert "kept out" not in user.out("list")
    assert accounts.sign_in("Bo", PASSWORD)


def test_no_token_is_made_for_somebody_locked(user: User, accounts: Accounts) -> None:
    """It would open nothing: that is said, with the way on, and none is kept."""
    for name in ("Ines", "Bo"):
        user.out("add", name, "--roles", "lead", "--elsewhere")
    user.out("lock", "Bo")
    refused = user("token", "Bo", "--title", "desktop GIS")
    assert isinstance(refused.exception, UsageError)
    assert "Bo is locked" in str(refused.exception)
    assert "slackwater user unlock" in str(refused.exception)
    assert accounts.tokens_of("Bo") == []


def test_a_token_is_printed_once(user: User, accounts: Accounts) -> None:
    """Alone on the standard output when it is made, and in no list; ended it opens nothing."""
    user.out("add", "Bo", "--roles", "viewer", "--elsewhere")
    secret = user.out("token", "Bo", "--title", "desktop GIS", "--scope", "public", "--days", "9")
    secret = secret.removesuffix("\n")
    assert accounts.of_token(secret) == Caller("Bo", frozenset({Role.PUBLIC}), may_write=False)
    listed = user.out("tokens", "Bo")
    assert "desktop GIS; public; made " in listed
    assert secret not in listed
    user.out("token-end", "Bo", listed.split(":")[0])
    assert accounts.of_token(secret) is None
    assert user.out("tokens", "Bo") == "no tokens\n"


@pytest.mark.parametrize("words", [
    ("add", "a/b", "--roles", "lead", "--elsewhere"),
    ("add", "Bo", "--roles", "boss", "--elsewhere"),
    ("add", "Bo", "--roles", ",", "--elsewhere"),
    ("add", "Bo", "--roles", "lead", "--password-stdin"),
    ("token", "Bo", "--title", "x", "--days", "400"),
])  # fmt: skip
def test_what_will_not_do_is_said(user: User, accounts: Accounts, words: tuple[str, ...]) -> None:
    """An odd name, an unknown role, an empty password, a token for too long: nobody is added."""
    done = user(*words, typed="short\n")
    assert isinstance(done.exception, UsageError)
    assert accounts.people() == []


def test_people_need_a_database_that_is_there(user: User, tmp_path: Path) -> None:
    """Adding somebody makes no database by mistake."""
    missing = CliRunner().invoke(app, ["user", "list", "--database", str(tmp_path / "no.sqlite")])
    assert isinstance(missing.exception, UsageError)
    assert not (tmp_path / "no.sqlite").exists()
    assert user.out("list")
