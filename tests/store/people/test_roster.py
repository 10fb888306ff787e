"""Who has an account, with which roles; a lead and an admin are never lost by mistake."""

from __future__ import annotations

from threading import Barrier, Thread

import pytest

from slackwater.desk.accounts import Accounts
from slackwater.errors import NotHere, SignInRefused, UsageError
from slackwater.people.roles import Caller, Role
from slackwater.store import Register, open_register
from tests.store.people.conftest import OTHER, PASSWORD, Clock, told

ODD_NAMES = ["", "   ", "a" * 101, "a/b", "a\tb", "a\x00b", "b\u202eo", "bo\u200b", "bo\u2028n",
             "..", "\uff0f", "bo\ud800"]  # fmt: skip
REAL_NAMES = ["a" * 100, "Łucja O'Neill-Žák", "ada@example.org", "Straße", "一郎"]


def test_a_person_is_kept(accounts: Accounts, url: str, clock: Clock) -> None:
    """Whoever was added is there after a new start, with what was said of them and no more."""
    added = accounts.add_person("  Bo Ek ", ["viewer", "scientist"], None, "Ines")
    assert added == {
        "name": "Bo Ek", "roles": ["scientist", "viewer"], "way": "elsewhere", "locked": False,
        "made_at": "2026-03-02T09:00:00.000+00:00", "kept_out_until": None, "seen_at": None,
    }  # fmt: skip
    register = open_register(url)
    again = Accounts(register, clock)
    assert again.people()[0] == added
    assert [each["name"] for each in again.people()] == ["Bo Ek", "Ines"]
    assert again.of_name("BO EK") == Caller("Bo Ek", frozenset({Role.SCIENTIST, Role.VIEWER}))
    register.close()


@pytest.mark.parametrize("same", ["ines", "INES", " Ines ", "\uff29\uff4e\uff45\uff53"])
def test_a_name_is_given_once(accounts: Accounts, same: str) -> None:
    """In other capitals or as wide letters it is the same name."""
    with pytest.raises(UsageError, match="already"):
        accounts.add_person(same, ["viewer"], None, "Ines")
    assert accounts.of_name(same) == accounts.of_name("Ines")


@pytest.mark.parametrize("name", ODD_NAMES, ids=ascii)
def test_a_name_that_cannot_be_told_is_refused(accounts: Accounts, name: str) -> None:
    """Nobody is called that, and looking for it finds nobody rather than failing."""
    with pytest.raises(UsageError, match="name of an account"):
        accounts.add_person(name, ["viewer"], None, "Ines")
    assert accounts.of_name(name) is None
    with pytest.raises(SignInRefused):
        accounts.sign_in(name, PASSWORD)
    with pytest.raises(NotHere):
        accounts.remove_person(name)


@pytest.mark.parametrize(
    "name", ["a" * 100, "Łucja O'Neill-Žák", "ada@example.org", "Straße", "一郎"]
)
def test_names_of_all_kinds_are_kept(accounts: Accounts, name: str) -> None:
    """Up to 100 characters, of whatever script."""
    assert accounts.add_person(name, ["viewer"], None, "Ines")["name"] == name
    assert accounts.of_name(name.upper()) is not None


@pytest.mark.parametrize("roles", [[], ["public"], ["owner"], ["lead", "owner"]])
def test_only_known_roles_are_given(accounts: Accounts, roles: list[str]) -> None:
    """None, an unknown one, or that of whoever has no account is refused."""
    with pytest.raises(UsageError, match="viewer, field, scientist, lead, admin"):
        accounts.add_person("Bo", roles, None, "Ines")
    with pytest.raises(UsageError):
        accounts.change_person("Ines", roles=roles)
    assert [each["name"] for each in accounts.people()] == ["Ines"]


def test_new_roles_count_at_once(accounts: Accounts) -> None:
    """Someone signed in has other roles from the next request on."""
    accounts.add_person("Bo", ["viewer"], PASSWORD, "Ines")
    session = accounts.sign_in("Bo", PASSWORD)
    accounts.change_person("bo", roles=["field"])
    assert accounts.of_session(session) == Caller("Bo", frozenset({Role.FIELD}))


def test_a_lock_ends_sessions_and_stills_tokens(accounts: Accounts) -> None:
    """Whoever is locked is out at once; unlocked, tokens hold again and they sign in anew."""
    accounts.add_person("Bo", ["viewer"], PASSWORD, "Ines")
    session, token = accounts.sign_in("Bo", PASSWORD), accounts.make_token("Bo", "gis", "read", 9)
    assert accounts.change_person("Bo", locked=True)["locked"]
    assert accounts.of_session(session) is None
    assert accounts.of_token(token["secret"]) is None
    assert accounts.of_name("Bo") is None
    for way in (lambda: accounts.sign_in("Bo", PASSWORD), lambda: accounts.begin("Bo", "header")):
        with pytest.raises(SignInRefused):
            way()
    accounts.change_person("Bo", locked=False)
    assert accounts.of_session(session) is None
    assert accounts.of_token(token["secret"]) is not None
    assert accounts.of_session(accounts.sign_in("Bo", PASSWORD)) is not None


def test_whoever_is_removed_is_out(accounts: Accounts) -> None:
    """Sessions and tokens go too; another of the same name gets none of them."""
    accounts.add_person("Bo", ["viewer"], PASSWORD, "Ines")
    session, token = accounts.sign_in("Bo", PASSWORD), accounts.make_token("Bo", "gis", "read", 9)
    accounts.remove_person("BO")
    accounts.add_person("Bo", ["lead"], OTHER, "Ines")
    assert accounts.of_session(session) is None
    assert accounts.of_token(token["secret"]) is None
    assert accounts.tokens_of("Bo") == []


def test_a_new_password_from_an_admin(accounts: Accounts) -> None:
    """It ends the person's sessions, takes the place of the old one, and of a way elsewhere."""
    accounts.add_person("Bo", ["viewer"], None, "Ines")
    session = accounts.begin("Bo", "oidc")
    assert accounts.change_person("Bo", password=OTHER)["way"] == "password"
    assert accounts.of_session(session) is None
    assert accounts.sign_in("Bo", OTHER)


@pytest.mark.parametrize("role", ["lead", "admin"])
def test_the_last_of_a_needed_role_stays(register: Register, clock: Clock, role: str) -> None:
    """The last lead, or admin, who may come in is neither removed, locked nor given other roles."""
    accounts = Accounts(register, clock)
    accounts.add_person("Ines", [role], None, "x")
    accounts.add_person("Bo", [role], None, "Ines")
    accounts.change_person("Bo", locked=True)  # so Bo does not count
    losing = [
        lambda: accounts.remove_person("Ines"),
        lambda: accounts.change_person("Ines", locked=True),
        lambda: accounts.change_person("Ines", roles=["viewer"]),
    ]
    for lose in losing:
        with pytest.raises(UsageError, match=f"the last {role}"):
            lose()
    accounts.change_person("Ines", roles=[role, "viewer"])
    accounts.change_person("Bo", locked=False)
    accounts.remove_person("Ines")
    assert [each["name"] for each in accounts.people()] == ["Bo"]


def test_where_nobody_leads_nobody_need_stay(register: Register, clock: Clock) -> None:
    """A role that nobody has is not missed."""
    accounts = Accounts(register, clock)
    accounts.add_person("Bo", ["viewer"], None, "x")
    accounts.change_person("Bo", locked=True)
    accounts.remove_person("Bo")
    assert accounts.people() == []


def test_two_admins_cannot_take_each_other_out(accounts: Accounts, url: str, clock: Clock) -> None:
    """Asked at the same moment from two programs, one of the two admins is left."""
    accounts.add_person("Bo", ["admin", "lead"], None, "Ines")
    registers = [open_register(url), open_register(url)]
    start, refused = Barrier(2), []

    def demote(register: Register, name: str) -> None:
        start.wait()
        how = told(lambda: Accounts(register, clock).change_person(name, roles=["viewer"]))
        refused.append(how[0])

    pairs = zip(registers, ("Bo", "Ines"), strict=True)
    threads = [Thread(target=demote, args=pair) for pair in pairs]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    for each in registers:
        each.close()
    assert sorted(refused) == ["", "UsageError"]
    assert sum("admin" in each["roles"] for each in accounts.people()) == 1


def test_somebody_unknown_is_not_changed(accounts: Accounts) -> None:
    """Whatever is asked of a name that nobody has, it is told so."""
    for ask in (
        lambda: accounts.change_person("Bo", locked=True),
        lambda: accounts.remove_person("Bo"),
        lambda: accounts.tokens_of("Bo"),
        lambda: accounts.make_token("Bo", "gis", "read", 9),
    ):
        with pytest.raises(NotHere):
            ask()
