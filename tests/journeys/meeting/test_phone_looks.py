"""How a phone's page looks in every state: contrast, targets, narrow screens, and what it says."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import httpx
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.at_work import REFUSED
from tests.journeys.field.test_in_hand import CONTRAST, NARROW, TARGETS
from tests.journeys.meeting.at_desk import either_or
from tests.journeys.meeting.served import MeetingServed
from tests.journeys.meeting.test_phone import join, mark, of, settled
from tests.journeys.test_map import AXE, guarded

SIZES = ({"width": 430, "height": 932}, {"width": 320, "height": 256}, NARROW)
"""The widest phone, 1280 x 1024 at 400 %, and the narrowest."""
SCHEMES: tuple[Any, ...] = ("dark", "light")
NOBODY = "QQQQQQ"
SMALL = """targets => [...document.querySelectorAll(targets)].filter(each => {
  if (!each.checkVisibility() || each.matches('label.choice input')) return false;
  const box = each.getBoundingClientRect();
  return Math.min(box.width, box.height) < 43.9 || box.left < 0 || box.right > innerWidth;
}).map(each => each.outerHTML.slice(0, 120))"""
"""What is smaller than a thumb, or not wholly on the page."""


def assert_sound(page: Page) -> None:
    """W13, W14, W15, W21, W25: of what is shown just now, light and dark, on every size."""
    found = Axe().run(page, options={"runOnly": AXE["runOnly"]}).response["violations"]
    assert [(each["id"], [n["html"] for n in each["nodes"]][:3]) for each in found] == []
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        assert page.evaluate(CONTRAST, 4.5) == []
    for size in SIZES:
        page.set_viewport_size(size)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert page.evaluate(SMALL, TARGETS) == []
    assert page.evaluate("document.getAnimations().length") == 0


def refusing(code: str, status: int, words: str = "") -> Any:
    """Give what answers a request with a refusal."""
    body = json.dumps({"error": {"code": code, "message": words}})

    def answer(route: Route) -> None:
        route.fulfill(status=status, content_type="application/json", body=body)

    return answer


def open_all(page: Page, on: MeetingServed) -> None:
    """Weights moved, and all that folds opened."""
    join(page, on)
    of(page, "risk").get_by_role("button", name="one more").click()
    settled(page)
    page.locator(".wall-shown summary").click()
    page.locator(".site").first.click()
    mark(page, "A", "a cod hole")
    page.get_by_role("button", name="Large map").click()
    page.get_by_label("Find an offtake").fill("a")
    page.locator(".find-part .site").first.click()
    of(page, "risk").locator(".dial-box").fill("99")
    of(page, "risk").locator(".dial-box").press("Enter")
    page.set_viewport_size(NARROW)
    lines = page.locator(".result-lines")
    assert lines.evaluate("e => e.clientHeight <= 2.1 * parseFloat(getComputedStyle(e).lineHeight)")


def test_every_state_is_sound(browser: Browser, tmp_path: Path) -> None:
    """Nobody's code, no net, full, door closed, in, held and agreed, dropped, over: each is said,
    axe finds nothing, text stands out, targets are 44 px, nothing is clipped or moves."""
    with (
        either_or(tmp_path) as on,
        on.facilitator() as lead,
        guarded(browser, on.address, NARROW, REFUSED) as page,
    ):
        page.emulate_media(reduced_motion="no-preference")
        page.goto(f"{on.address}/meet/{NOBODY}")
        expect(page.get_by_role("heading")).to_have_text("No meeting here")
        assert_sound(page)
        come_in(page, on, lead)
        open_all(page, on)
        agree(page, lead)
        assert_sound(page)
        page.set_viewport_size({"width": 320, "height": 256})
        place = page.locator(".result").evaluate("each => getComputedStyle(each).position")
        assert place == "static", "it would stand before what little is seen"
        page.set_viewport_size(NARROW)
        be_dropped(page)
        lead.post("/lead/close").raise_for_status()
        expect(page.locator(".notes")).to_contain_text("This meeting has ended.")
        expect(page.locator(".agreed")).to_contain_text("A first.")
        assert page.evaluate("localStorage.length") == 0
        for gone in (
            ".phone-private",
            ".weights",
            ".result",
            ".list-part",
            ".map-part",
            ".wall-shown",
        ):
            expect(page.locator(gone)).not_to_be_visible()
        assert_sound(page)
        page.reload()
        expect(page.get_by_role("heading")).to_have_text("This meeting has ended")
        assert_sound(page)
        page.get_by_role("link", name="Read the minutes").click()
        expect(page.locator("body")).to_contain_text("A first.")


def come_in(page: Page, on: MeetingServed, lead: httpx.Client) -> None:
    """From a code that is none over no net, a full room and a closed door into the meeting."""
    asks, join_asks = f"**/api/meet/{on.code}", f"**/api/meet/{on.code}/join"
    page.goto(f"{on.address}/meet")
    page.get_by_label("Meeting code").fill("k7r m4")
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("alert")).to_contain_text("six letters and figures")
    assert_sound(page)
    page.get_by_label("Meeting code").fill(f" {on.code[:3].lower()}-{on.code[3:]} ")
    page.route(asks, lambda route: route.abort())
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("alert")).to_contain_text("does not answer")
    page.unroute(asks)
    page.route(join_asks, refusing("full", 503))
    page.get_by_role("button", name="Join").click()
    page.wait_for_url(on.phone)
    expect(page.locator(".notes")).to_contain_text("as many phones as it can hold")
    expect(page.locator(".weights")).to_be_hidden()
    page.unroute(join_asks)
    lead.put("/lead/door", json={"open": False})
    page.get_by_role("button", name="Try to join again").click()
    expect(page.locator(".notes")).to_contain_text("closed the door")
    assert_sound(page)
    lead.put("/lead/door", json={"open": True})
    expect(page.locator(".weights")).to_be_visible()
    expect(page.locator(".notes")).to_be_hidden()


def agree(page: Page, lead: httpx.Client) -> None:
    """The wall is held and goes on again, and the case is agreed."""
    for held, words in ((True, "The wall is held at:"), (False, "On the wall:")):
        lead.put("/lead/hold", json={"held": held})
        expect(page.locator(".wall-shown")).to_contain_text(words)
    agreed = {"what": "case", "words": "A first.", "left_open": "", "seen": 0}
    lead.put("/lead/agreed", json=agreed).raise_for_status()
    expect(page.locator(".agreed")).to_contain_text("Agreed: the case as it stands, 1")


def be_dropped(page: Page) -> None:
    """Dropped it says so, and comes back where it was by one button."""
    page.route("**/mine", refusing("dropped", 410))
    of(page, "cost").get_by_role("button", name="one more").click()
    expect(page.locator(".notes")).to_contain_text("dropped because it sent too much")
    assert_sound(page)
    page.unroute("**/mine")
    page.get_by_role("button", name="Join again").click()
    expect(page.locator(".weights")).to_be_visible()
    expect(of(page, "cost").locator(".dial-box")).to_have_value("4")
    assert settled(page).startswith("Your weights reach")
