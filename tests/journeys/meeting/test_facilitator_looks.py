"""The facilitator's page is fit for everyone, on the laptop and in the hand."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.meeting.at_desk import HAND, LAPTOP, ON_RISK, desk, either_or, tried
from tests.journeys.test_map import assert_axe_silent

PLACES: list[dict[str, Any]] = [
    {"x": 20.0, "y": 12.0, "words": "Old <img src=x onerror=alert(1)> ford"},
    {"x": 90.0, "y": 22.0, "words": ""},
]
CONTROLS = "button, a, textarea, summary, .lead-choice, .keys-single"


@pytest.mark.parametrize("size", [LAPTOP, HAND])
def test_held_with_a_trial_and_places_it_is_fit_for_everyone(
    browser: Browser, tmp_path: Path, size: dict[str, int]
) -> None:
    """W13, W15, W25; targets of 44 px; words of phones are text; so are the other pages."""
    with either_or(tmp_path) as on, desk(browser, on, size) as page:
        tried(on, *[ON_RISK] * 5, places=PLACES)
        for key in ("5", "t", "h"):
            page.keyboard.press(key)
        expect(page.get_by_role("button", name="Let the wall go on")).to_be_visible()
        marked = page.get_by_role("list", name="Places marked").get_by_role("listitem")
        expect(page.locator(".lead-place")).to_have_count(10)
        expect(marked.first).to_have_text(re.compile(r"^(near|at) "))
        expect(page.get_by_text(PLACES[0]["words"]).first).to_be_hidden()
        page.get_by_role("button", name="Show what was written").click()
        expect(marked.first).to_contain_text(PLACES[0]["words"])
        page.get_by_role("button", name="Close the meeting…").click()
        assert_focus_seen(page)
        assert_fit(page)
        if size == LAPTOP:
            return
        page.keyboard.press("?")
        assert_fit(page)
        page.goto("about:blank")
        page.goto(f"{on.phone}/lead#another")
        expect(page.get_by_role("heading", name="This key does not fit")).to_be_visible()
        assert_fit(page)


def assert_focus_seen(page: Page) -> None:
    """WCAG 2.4.11: what has the focus does not lie below the keys at a phone's foot."""
    focused = page.locator(":focus").bounding_box()
    keys = page.locator(".lead-controls").bounding_box()
    assert focused is not None
    assert keys is not None
    below = focused["y"] + focused["height"] > keys["y"]
    assert not below or focused["x"] > keys["x"] + keys["width"]


def assert_fit(page: Page) -> None:
    """Nothing moves, nothing is wider than the page, every target is large enough; axe."""
    assert page.evaluate("document.getAnimations().length") == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    for control in page.locator(CONTROLS).all():
        box = control.bounding_box()
        if box is not None and control.is_visible():
            assert box["height"] >= 43.5, control.evaluate("each => each.outerHTML")
    assert_axe_silent(page)
