"""W17, the page itself: what a browser shows, holds and writes down of somebody's visit.

Source: OWASP ASVS 4.0.3, 8.2.1-8.2.3 (nothing private stays in a browser), 8.3.1 (nothing in
addresses).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from slackwater.api.calling import Known
from slackwater.api.entry import Entry
from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency, agency
from tests.contracts.private.searching import texts_closed_to
from tests.journeys.conftest import serving
from tests.journeys.people.roaming import Told, own_browser, roamed


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Agency, str]]:
    """An agency full of secrets, with a map for the public."""
    with agency(tmp_path_factory.mktemp("agency")) as made, pytest.MonkeyPatch.context() as patch:
        patch.setattr(Known, "_too_many", lambda *_: None)
        entry = Entry(accounts=made.service.accounts, public_map=True)
        with serving(made.service.working, entry) as address:
            yield made, address


def visit(browser: Browser, folder: Path, place: tuple[Agency, str], role: Role) -> Told:
    """Let somebody of a role press everything on the page."""
    made, address = place
    with own_browser(browser, folder) as (context, told):
        if role is not Role.PUBLIC:
            secret = made.service.accounts.begin(f"{role.value} person", "password")
            context.add_cookies([{"name": "slackwater", "value": secret, "url": address}])
        roamed(context, told, address)
    return told


@pytest.mark.parametrize(
    "role", [Role.PUBLIC, pytest.param(Role.VIEWER, marks=pytest.mark.long)], ids=str
)
def test_a_visit_leaves_no_secret_anywhere(
    browser: Browser, tmp_path: Path, place: tuple[Agency, str], role: Role
) -> None:
    """Not in an answer, in what is shown, in title or address, in what pages store, in the
    console, nor in any byte that the browser wrote to the disk."""
    told = visit(browser, tmp_path, place, role)
    assert told.pressed >= 5
    assert len(told.answers) >= 10
    everything = "\n".join([*told.answers, *told.page, *told.stored, *told.console])
    disk = told.on_disk()
    for text in texts_closed_to(place[0], role):
        assert text not in everything, text
        assert text.encode() not in disk, text
        assert text.encode("utf-16-le") not in disk, text
    assert told.dialogs == []


def test_the_same_visit_of_the_lead_does_find_them_and_writes_none_down(
    browser: Browser, tmp_path: Path, place: tuple[Agency, str]
) -> None:
    """The page shows the lead whom to ring: the search can find. What is the lead's alone stays
    out of the browser's cache and of all that pages store."""
    told = visit(browser, tmp_path, place, Role.LEAD)
    closed = texts_closed_to(place[0], Role.PUBLIC)
    shown = "\n".join(told.page)
    assert len([text for text in closed if text in shown]) >= 3
    kept = "\n".join([*told.stored, *told.console])
    disk = told.on_disk()
    for text in place[0].closed_to(Role.PUBLIC).texts:
        assert text not in kept, text
        assert text.encode() not in disk, text
