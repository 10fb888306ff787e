"""The demo's database with people who sign in, served, and pages on which they do."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

import httpx
from playwright.sync_api import Browser, BrowserContext, Page, expect

from slackwater.api.entry import Entry
from slackwater.desk.accounts import Accounts
from slackwater.desk.working import open_working
from tests.contracts.with_accounts import PASSWORDS, ROLES
from tests.journeys.at_work import DATABASE, REFUSED, demo_folder
from tests.journeys.conftest import serving
from tests.journeys.test_map import DESK, ROWS, guarded, open_page

NARROW = {"width": 320, "height": 640}
PROJECTOR = {"width": 1920, "height": 1080}
FOCUSED = "each => each === document.activeElement"


@dataclass(frozen=True)
class Place:
    """Where it is served, and who may come in."""

    address: str
    accounts: Accounts

    def as_lead(self, method: str, path: str, body: Any = None) -> Any:
        """Ask something as ada, away from any page."""
        token = self.accounts.make_token("ada", "test", "all", 1)["secret"]
        headers = {"Authorization": f"Bearer {token}"}
        answer = httpx.request(
            method, f"{self.address}{path}", json=body, headers=headers, timeout=60
        )
        answer.raise_for_status()
        return answer.json() if answer.content else None


@contextmanager
def with_people(folder: Path, **entry: Any) -> Iterator[Place]:
    """Serve a fresh copy of the demo's database to its people: ada, grace, vera and root."""
    working = open_working(str(shutil.copy(Path(demo_folder().name) / DATABASE, folder)))
    try:
        accounts = Accounts(working.register)
        for name, roles in ROLES.items():
            accounts.add_person(name, roles, PASSWORDS[name], "test")
        with serving(working, Entry(accounts=accounts, **entry)) as address:
            yield Place(address, accounts)
    finally:
        working.close()


@contextmanager
def stranger(browser: Browser, place: Place, size: dict[str, int] = DESK) -> Iterator[Page]:
    """Give a page of nobody yet, opened; errors and foreign requests fail, refusals do not."""
    with guarded(browser, place.address, size, REFUSED) as page:
        page.goto(place.address)
        yield page


@contextmanager
def entered(
    browser: Browser, place: Place, name: str, size: dict[str, int] = DESK, at: str = ""
) -> Iterator[Page]:
    """Give the page of somebody who signed in before."""
    with guarded(browser, place.address, size, REFUSED) as page:
        hold_session(page.context, place, name)
        open_page(page, f"{place.address}/{at}")
        yield page


def hold_session(context: BrowserContext, place: Place, name: str) -> str:
    """Let a browser hold a new session of somebody, and give its secret."""
    secret = place.accounts.begin(name, "password")
    context.add_cookies([{"name": "slackwater", "value": secret, "url": place.address}])
    return secret


def type_in(page: Page, name: str, password: str = "") -> None:
    """Fill in the form that signs in, and send it; a name that stands there is left."""
    field = page.get_by_label("Name", exact=True)
    if field.is_editable():
        field.fill(name)
    page.get_by_label("Password", exact=True).fill(password or PASSWORDS[name])
    page.keyboard.press("Enter")


def account(page: Page) -> Page:
    """Open one's own account."""
    page.get_by_role("button", name="your account").click()
    expect(page.get_by_role("dialog", name="Your account")).to_be_visible()
    return page


def shared_case(place: Place, name: str) -> str:
    """Save and share a case as ada, and give its id."""
    weights = place.as_lead("GET", "/api/catchment")["weights"]
    trial = {
        "weights": weights, "budget": 700_000.0, "way": "score", "kept_in": {}, "left_out": {},
        "district_least": {}, "district_most": {}, "most_installs": None, "together": [],
        "unit": "ML/d", "year": "mean", "guild": "all", "selected": "",
    }  # fmt: skip
    case_id = str(uuid4())
    work = place.as_lead("POST", "/api/cases", {"id": case_id, "name": name, "trial": trial})
    while work["state"] == "working":
        work = place.as_lead("GET", f"/api/work/{work['id']}?wait_s=5")
    place.as_lead("POST", f"/api/cases/{case_id}/share")
    return case_id


def assert_fits(page: Page, within: str) -> None:
    """W15: no two-way scroll; on a phone every target is 44 px and lies within the width."""
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    part = page.locator(within)
    assert part.evaluate("p => p.scrollWidth <= p.clientWidth")
    width = page.evaluate("innerWidth")
    for control in part.locator("button, select, input, textarea, summary, .strip-button").all():
        box = control.bounding_box()
        if box is None or not control.is_visible():
            continue
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
        if width <= 390 and control.get_attribute("type") not in ("checkbox", "radio"):
            assert box["height"] >= 43.5, control.evaluate("c => c.outerHTML")


def rows_of(page: Page) -> None:
    """Wait for the list."""
    page.locator(ROWS).first.wait_for()
