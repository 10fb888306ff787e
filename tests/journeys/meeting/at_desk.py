"""The facilitator's desk: a meeting whose budget reaches one site or another, and pages of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import httpx
from playwright.sync_api import Browser, Locator, Page, expect

from tests.journeys.at_work import REFUSED
from tests.journeys.meeting.served import MeetingServed, meeting_served, shared_case
from tests.journeys.test_map import guarded

LAPTOP, HAND = {"width": 1280, "height": 800}, {"width": 390, "height": 844}
EITHER = 60_000.0
"""Reaches A, which is cheap and first by the case's weights, or B, which takes most; not both."""
ON_RISK = {"risk": 10, "overlap": 0, "cost": 0}
"""Weights under which B is first."""
ON_COST = {"risk": 0, "overlap": 0, "cost": 10}
MOST_TABS = 40


@contextmanager
def either_or(folder: Path) -> Iterator[MeetingServed]:
    """Serve a meeting on a case that funds A and leaves B out."""
    with meeting_served(folder) as on:
        case_id = shared_case(on.working, EITHER, name="One of two")
        asked = {"case_id": case_id, "hours": 2}
        told = httpx.post(f"{on.address}/api/meetings", json=asked, timeout=60).json()
        yield replace(on, code=told["code"], key=told["key"], case_id=case_id)


@contextmanager
def desk(browser: Browser, on: MeetingServed, size: dict[str, int] = LAPTOP) -> Iterator[Page]:
    """Give the facilitator's page, opened; errors and foreign requests fail, refusals do not."""
    with guarded(browser, on.address, size, REFUSED) as page:
        page.goto(on.lead)
        expect(page.get_by_role("heading", name="One of two")).to_be_visible()
        yield page


def tried(on: MeetingServed, *levels: dict[str, int], group: str = "", places: Any = ()) -> None:
    """Have a phone try each of some weights, and all of them mark the same places."""
    for phone in on.tried(*levels, group=group):
        with closing(phone):
            if places:
                phone.put("/mine/places", json={"places": places}).raise_for_status()


def on_wall(on: MeetingServed) -> dict[str, object]:
    """What the wall is told, away from any page."""
    told: dict[str, object] = httpx.get(f"{on.api}/now", timeout=30).json()
    return told


def titles(on: MeetingServed) -> dict[str, str]:
    """The title of each step."""
    return {each["step"]: each["title"] for each in on.static()["steps"]}


def tab_to(page: Page, wanted: Locator, key: str = "Tab") -> None:
    """Go on by the keyboard until something has the focus."""
    for _ in range(MOST_TABS):
        if wanted.evaluate("each => each === document.activeElement"):
            return
        page.keyboard.press(key)
    raise AssertionError(f"{wanted} is not reached by {key}")
