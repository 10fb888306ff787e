"""A token is as narrow as it was made, holds as long, and is told once."""

from __future__ import annotations

import pytest

from slackwater.desk.accounts import Accounts
from slackwater.errors import NotHere, UsageError
from slackwater.people.roles import Caller, Role
from tests.store.people.conftest import Clock

BOTH = frozenset({Role.LEAD, Role.ADMIN})


@pytest.mark.parametrize(("scope", "wanted"), [
    ("public", Caller("Ines", frozenset({Role.PUBLIC}), may_write=False)),
    ("read", Caller("Ines", BOTH, may_write=False)),
    ("all", Caller("Ines", BOTH)),
])  # fmt: skip
def test_a_token_is_as_narrow_as_its_scope(accounts: Accounts, scope: str, wanted: Caller) -> None:
    """Public sees what the public sees, read changes nothing, all is the person themselves."""
    token = accounts.make_token("ines", "desktop GIS", scope, 30)
    assert accounts.of_token(token["secret"]) == wanted


def test_a_token_follows_its_owner(accounts: Accounts) -> None:
    """Roles taken from the person are taken from the token."""
    accounts.add_person("Bo", ["lead"], None, "Ines")
    token = accounts.make_token("Bo", "script", "all", 30)
    accounts.change_person("Bo", roles=["viewer"])
    assert accounts.of_token(token["secret"]) == Caller("Bo", frozenset({Role.VIEWER}))


@pytest.mark.parametrize("days", [1, 365])
def test_a_token_ends(accounts: Accounts, clock: Clock, days: int) -> None:
    """It holds for its days, to the second."""
    token = accounts.make_token("Ines", "script", "read", days)
    clock.go(days=days, seconds=-1)
    assert accounts.of_token(token["secret"]) is not None
    clock.go(seconds=1)
    assert accounts.of_token(token["secret"]) is None
    assert [each["id"] for each in accounts.tokens_of("Ines")] == [token["id"]]


def test_a_token_is_told_once(accounts: Accounts, clock: Clock) -> None:
    """Its list says when it was made, ends and was used, the newest first, and never the secret."""
    first = accounts.make_token("Ines", " desktop GIS ", "read", 30)
    clock.go(hours=1)
    second = accounts.make_token("Ines", "script", "all", 1)
    accounts.of_token(first["secret"])
    listed = accounts.tokens_of("Ines")
    assert [each["id"] for each in listed] == [second["id"], first["id"]]
    assert listed[1] == {
        "id": first["id"], "title": "desktop GIS", "scope": "read",
        "made_at": "2026-03-02T09:00:00.000+00:00", "ends_at": "2026-04-01T09:00:00.000+00:00",
        "seen_at": "2026-03-02T10:00:00.000+00:00",
    }  # fmt: skip
    assert listed[0]["seen_at"] is None


def test_a_token_is_ended_by_its_owner_alone(accounts: Accounts) -> None:
    """Another person cannot end it, and an id that is none is told so."""
    accounts.add_person("Bo", ["admin"], None, "Ines")
    token = accounts.make_token("Ines", "script", "read", 30)
    for name, token_id in (("Bo", token["id"]), ("Ines", "1"), ("Ines", "a\x00"), ("Cy", "1")):
        with pytest.raises(NotHere):
            accounts.drop_token(name, token_id)
    assert accounts.of_token(token["secret"]) is not None
    accounts.drop_token("Ines", token["id"])
    assert accounts.of_token(token["secret"]) is None
    assert accounts.tokens_of("Ines") == []


@pytest.mark.parametrize("asked", [
    ("", "read", 30), ("a\tb", "read", 30), ("x" * 121, "read", 30), ("gis", "write", 30),
    ("gis", "", 30), ("gis", "read", 0), ("gis", "read", -1), ("gis", "read", 366),
])  # fmt: skip
def test_a_token_that_will_not_do_is_refused(
    accounts: Accounts, asked: tuple[str, str, int]
) -> None:
    """A title, a known scope and 1 to 365 days; nothing is made otherwise."""
    with pytest.raises(UsageError):
        accounts.make_token("Ines", *asked)
    assert accounts.tokens_of("Ines") == []


def test_there_are_not_endlessly_many(accounts: Accounts) -> None:
    """Fifty a person; another has room again once one is ended."""
    ids = [accounts.make_token("Ines", "script", "read", 1)["id"] for _ in range(50)]
    with pytest.raises(UsageError, match="50 tokens"):
        accounts.make_token("Ines", "script", "read", 1)
    accounts.drop_token("Ines", ids[0])
    accounts.make_token("Ines", "script", "read", 1)
