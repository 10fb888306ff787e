"""A public link leads to a shared case as long as it holds, and else tells nothing."""

from __future__ import annotations

import pytest

from slackwater.desk.accounts import Accounts
from slackwater.errors import NotHere, UsageError
from slackwater.store import Register
from tests.store.people.conftest import Clock, told
from tests.store.said import case, fresh_id


@pytest.fixture
def shared(register: Register) -> str:
    """A case that was shared."""
    saved = register.save_case(case(register.standing().data_version))
    return register.share_case(saved.id, "2026-03-02T08:00:00+00:00").id


def test_a_link_leads_to_its_case(accounts: Accounts, shared: str, clock: Clock) -> None:
    """Until its last second."""
    link = accounts.link_case(shared, 30, "Ines")
    assert accounts.case_of_link(link["secret"]) == shared
    clock.go(days=30, seconds=-1)
    assert accounts.case_of_link(link["secret"]) == shared


def test_only_a_shared_case_is_linked(accounts: Accounts, register: Register) -> None:
    """One that is still its maker's own is not shown to the world; an unknown one is told so."""
    own = register.save_case(case(register.standing().data_version))
    with pytest.raises(UsageError, match="share it first"):
        accounts.link_case(own.id, 30, "Ines")
    assert accounts.links_of(own.id) == []
    for none in (fresh_id(), "1", "a\x00"):
        with pytest.raises(NotHere):
            accounts.link_case(none, 30, "Ines")
        with pytest.raises(NotHere):
            accounts.links_of(none)


@pytest.mark.parametrize("days", [0, -1, 366])
def test_a_link_holds_for_a_year_at_most(accounts: Accounts, shared: str, days: int) -> None:
    """No link for ever, and none for no time."""
    with pytest.raises(UsageError):
        accounts.link_case(shared, days, "Ines")


def test_revoked_unknown_and_past_are_told_alike(
    accounts: Accounts, shared: str, clock: Clock
) -> None:
    """Whoever holds a link that leads nowhere is not told why."""
    past, ended = accounts.link_case(shared, 1, "Ines"), accounts.link_case(shared, 9, "Ines")
    clock.go(days=1)
    accounts.end_link(ended["id"])
    secrets = [past["secret"], ended["secret"], "made up", "", "\x00", past["id"], "\ud800"]
    answers = {told(lambda each=each: accounts.case_of_link(each)) for each in secrets}
    assert len(answers) == 1
    assert next(iter(answers))[0] == "NotHere"


def test_links_are_listed_without_what_opens_them(
    accounts: Accounts, shared: str, clock: Clock
) -> None:
    """The newest first, with who made them and how long they hold; ended twice is ended once."""
    first = accounts.link_case(shared, 30, "Ines")
    clock.go(hours=1)
    second = accounts.link_case(shared, 1, "Bo")
    for _ in range(2):
        accounts.end_link(first["id"])
        clock.go(hours=1)
    assert accounts.links_of(shared) == [
        {"id": second["id"], "case_id": shared, "made_at": "2026-03-02T10:00:00.000+00:00",
         "by": "Bo", "ends_at": "2026-03-03T10:00:00.000+00:00", "ended_at": None},
        {"id": first["id"], "case_id": shared, "made_at": "2026-03-02T09:00:00.000+00:00",
         "by": "Ines", "ends_at": "2026-04-01T09:00:00.000+00:00",
         "ended_at": "2026-03-02T10:00:00.000+00:00"},
    ]  # fmt: skip
    for none in (fresh_id(), "1", "a\x00"):
        with pytest.raises(NotHere):
            accounts.end_link(none)
