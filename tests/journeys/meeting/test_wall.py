"""The wall: read from the last row at every step, still while phones move, held, lost and back."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.meeting.served import MeetingServed, meeting_served
from tests.journeys.test_limits import contrast
from tests.journeys.test_map import AXE, assert_axe_silent, guarded

HALL, SMALL = {"width": 1920, "height": 1080}, {"width": 1280, "height": 720}
STEPS = ("river", "problem", "screens", "list", "room", "choice")
LEAST_TEXT_PX, LEAST_DOT_PX, MOST_ROWS = 36, 14, 7
LEVELS = (
    {"risk": 10, "overlap": 1, "cost": 0},
    {"risk": 0, "overlap": 2, "cost": 10},
    {"risk": 3, "overlap": 10, "cost": 2},
    {"risk": 10, "overlap": 0, "cost": 0},
    {"risk": 10, "overlap": 2, "cost": 1},
)
LETTERS = "The council asks that screens be built from the sea upwards, one weir a year. " * 7
"""At a hall's full length, as many as the minutes take."""
ENHANCED = {**AXE, "rules": {"color-contrast-enhanced": {"enabled": True}}}
SEEN = """() => {
  const shown = e => e.checkVisibility({ visibilityProperty: true }) && !e.closest('.unseen');
  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const holder = node.parentElement;
    if (!node.data.trim() || !shown(holder)) continue;
    const drawn = holder.getScreenCTM?.();
    const scale = drawn ? Math.hypot(drawn.a, drawn.b) : 1;
    const range = document.createRange();
    range.selectNodeContents(node);
    const { left, top, right, bottom } = range.getBoundingClientRect();
    const px = scale * parseFloat(getComputedStyle(holder).fontSize);
    texts.push({ words: node.data, px, in: left >= -1 && top >= -1 && right <= innerWidth + 1
      && bottom <= innerHeight + 1 });
  }
  const parts = [...document.querySelectorAll('.dot-body, .dot-dash')].filter(shown);
  const rules = [...document.styleSheets].flatMap(sheet => [...sheet.cssRules]);
  const [side, foot] = ['.wall-side', '.wall-foot'].map(each => document.querySelector(each));
  return {
    texts,
    dots: parts.map(e => e.getBoundingClientRect()).map(b => Math.max(b.width, b.height)),
    rows: [...document.querySelectorAll('tbody, ul, ol, dl')].map(e => e.children.length),
    hovered: rules.filter(rule => rule.cssText.includes(':hover')).length
      + document.querySelectorAll('[title], svg title').length,
    fits: side.scrollHeight <= side.clientHeight + 1
      && (!shown(side) || side.getBoundingClientRect().bottom <= foot.getBoundingClientRect().top),
    moving: document.getAnimations().length,
  };
}"""
TONES = """names => names.map(
  name => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim())"""
SIZE = "each => parseFloat(getComputedStyle(each).fontSize)"
DRAWN = """() => [...document.querySelectorAll('.dot[data-code]')]
  .map(e => [e.dataset.code, e.getAttribute('class')]).sort()"""


@pytest.fixture(scope="module")
def on(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MeetingServed]:
    """A meeting on the small catchment in which five phones have set weights."""
    with meeting_served(tmp_path_factory.mktemp("wall")) as served:
        for phone in served.tried(*LEVELS):
            phone.close()
        yield served


def lead(on: MeetingServed, path: str, **asked: Any) -> dict[str, Any]:
    """Do what the facilitator does."""
    with on.facilitator() as facilitator:
        answer = facilitator.put(f"/lead/{path}", json=asked)
    answer.raise_for_status()
    told: dict[str, Any] = answer.json()
    return told


def agree(on: MeetingServed, what: str, words: str = "") -> None:
    """Keep what the hall agrees on, having seen all that stands."""
    with on.facilitator() as facilitator:
        seen = facilitator.get("/lead").json()["agreed"]["revision"]
    lead(on, "agreed", what=what, words=words, left_open="", seen=seen)


def show(page: Page, on: MeetingServed, step: str) -> None:
    """Go to a step and wait until the wall shows it."""
    lead(on, "step", step=step)
    expect(page.locator(f".wall[data-step={step}]")).to_be_visible()


def open_wall(page: Page, on: MeetingServed) -> None:
    """Open the wall that only looks."""
    page.goto(f"{on.phone}/wall")
    expect(page.locator(".wall h1")).not_to_be_empty()


@pytest.mark.parametrize(("size", "share"), [(HALL, 1.0), (SMALL, 2 / 3)])
def test_every_step_is_read_from_the_last_row(
    browser: Browser, on: MeetingServed, size: dict[str, int], share: float
) -> None:
    """W23 and W25: text 36 px, dots 14 px, seven rows, nothing on hover, nothing cut, stillness."""
    with guarded(browser, on.address, size) as page:
        open_wall(page, on)
        for step in (*STEPS, "trial", "agreed"):
            if step == "trial":
                lead(on, "trial", shown=True)
                expect(page.locator(".trial-banner")).to_be_visible()
            elif step == "agreed":
                agree(on, "trial", LETTERS)
                lead(on, "trial", shown=False)
                expect(page.locator(".wall-words")).to_contain_text("the rest is in the minutes")
            else:
                show(page, on, step)
            seen = page.evaluate(SEEN)
            texts = seen["texts"]
            assert min(text["px"] for text in texts) >= LEAST_TEXT_PX * share - 0.01, step
            assert [text["words"] for text in texts if not text["in"]] == [], step
            assert all(dot >= LEAST_DOT_PX * share for dot in seen["dots"]), step
            assert seen["dots"], step
            assert page.locator("h1").evaluate(SIZE) == pytest.approx(1.4 * 36 * share), step
            assert all(rows <= MOST_ROWS for rows in seen["rows"]), step
            assert (seen["hovered"], seen["moving"], seen["fits"]) == (0, 0, True), step
            words = " ".join(text["words"] for text in texts)
            for always in ("Join at", f"{on.code[:3]}\u00a0{on.code[3:]}", "5\u00a0phones joined"):
                assert always in words, step
            if step not in {"choice", "trial", "agreed"}:
                expect(page.locator(".join-qr")).to_be_visible()
            if share == 1:
                found = Axe().run(page, options=ENHANCED)
                assert found.violations_count == 0, (step, found.generate_report())
        ink, soft, water, paper, deep, warn = page.evaluate(
            TONES, ["ink", "ink-soft", "water-name", "paper", "paper-deep", "warn"]
        )
        for words_in, ground in ((ink, deep), (ink, warn), (soft, paper), (water, paper)):
            assert contrast(words_in, ground) >= 7
    agree(on, "")


def test_the_case_stands_still_while_phones_move(browser: Browser, on: MeetingServed) -> None:
    """W6: the case is the same after other weights; a trial is bannered, what is agreed stands."""
    inside = {each["code"] for each in on.static()["offtakes"] if each["state"] == "inside"}
    with guarded(browser, on.address, HALL) as page:
        open_wall(page, on)
        show(page, on, "list")
        before, rows = page.evaluate(DRAWN), page.locator("tbody").inner_text()
        assert {code for code, kind in before if "dot-inside" in kind} == inside
        (phone,) = on.tried({"risk": 0, "overlap": 10, "cost": 0})
        with closing(phone):
            expect(page.locator(".wall-count")).to_contain_text("6\u00a0weightings tried")
            assert page.evaluate(DRAWN) == before
            assert page.locator("tbody").inner_text() == rows
            show(page, on, "choice")
            drawn, ways = page.evaluate(DRAWN), page.locator(".wall-side").inner_text()
            trial = lead(on, "trial", shown=True)["trial"]
            expect(page.locator(".trial-banner")).to_contain_text("The case has not moved")
            strong = {code for code, kind in page.evaluate(DRAWN) if "dot-strong" in kind}
            assert strong == {*trial["joins"], *trial["leaves"]}
            lead(on, "trial", shown=False)
            expect(page.locator(".trial-banner")).to_have_count(0)
            assert page.evaluate(DRAWN) == drawn
            assert page.locator(".wall-side").inner_text() == ways
            lead(on, "trial", shown=True)
            agree(on, "trial", "Taken.")
            expect(page.locator(".trial-banner")).to_contain_text("The trial agreed at")
            lead(on, "trial", shown=False)
            taken = inside - {*trial["leaves"]} | {*trial["joins"]}
            expect(page.locator(".way")).to_have_count(3)
            expect(page.locator(".wall-words")).to_have_text("Taken.")
            drawn = page.evaluate(DRAWN)
            assert {code for code, kind in drawn if "dot-inside" in kind} == taken
            agree(on, "case")
            lead(on, "trial", shown=True)
            expect(page.locator(".trial-banner")).to_have_text("Another trial, not what was agreed")
            expect(page.locator(".agreed")).to_contain_text("the case")
            agree(on, "")
            lead(on, "trial", shown=False)


def test_keys_work_on_a_wall_that_has_one(browser: Browser, on: MeetingServed) -> None:
    """The key leaves the address; steps, hold and help by keys; a wall without it only looks."""
    lead(on, "step", step="river")
    with guarded(browser, on.address, HALL) as page, guarded(browser, on.address, SMALL) as other:
        page.goto(on.wall)
        open_wall(other, on)
        expect(page.locator(".wall[data-step=river]")).to_be_visible()
        assert on.key not in page.url
        page.keyboard.press("PageDown")
        expect(other.locator(".wall[data-step=problem]")).to_be_visible()
        page.reload()
        expect(page.locator(".wall[data-step=problem]")).to_be_visible()
        expect(page.locator(".wall-corner.is-awake")).to_have_count(0)
        page.keyboard.press("5")
        expect(other.locator(".wall[data-step=room]")).to_be_visible()
        page.keyboard.press("h")
        for wall in (page, other):
            expect(wall.get_by_text("Held", exact=True)).to_be_visible()
        count = page.locator(".wall-count").inner_text()
        on.joined().close()
        page.keyboard.press("PageDown")
        page.wait_for_timeout(600)
        for wall in (page, other):
            expect(wall.locator(".wall[data-step=room]")).to_be_visible()
            assert wall.locator(".wall-count").inner_text() == count
        page.keyboard.press("h")
        expect(other.locator(".wall[data-step=choice]")).to_be_visible()
        expect(other.get_by_text("Held", exact=True)).to_be_hidden()
        opener = page.locator(".keys-opener")
        page.mouse.move(300, 300)
        expect(page.locator(".wall-corner.is-awake")).to_be_visible()
        opener.click()
        page.keyboard.press("Escape")
        expect(opener).not_to_be_focused()
        page.keyboard.press("?")
        keys = page.get_by_role("dialog", name="Keys")
        expect(keys).to_be_visible()
        assert min(text["px"] for text in page.evaluate(SEEN)["texts"]) >= LEAST_TEXT_PX
        assert_axe_silent(page)
        other.keyboard.press("1")
        other.wait_for_timeout(300)
        assert httpx.get(f"{on.api}/now", timeout=30).json()["step"] == "choice"
        expect(other.get_by_role("button", name="Keys")).to_have_count(0)


def test_a_lost_stream_is_said_and_comes_back(browser: Browser, on: MeetingServed) -> None:
    """What stood still stands, with the time it is from; the wall comes back by itself."""
    lead(on, "step", step="problem")
    now = httpx.get(f"{on.api}/now", timeout=30).json()
    once: list[Route] = []

    def news(route: Route) -> None:
        once.append(route)
        if len(once) > 1:
            return route.abort()
        told = f"event: now\r\ndata: {json.dumps(now)}\r\n\r\n"
        return route.fulfill(body=told, content_type="text/event-stream")

    with guarded(browser, on.address, HALL, "Failed to load resource") as page:
        page.route("**/news", news)
        page.route("**/now", lambda route: route.abort())
        open_wall(page, on)
        banner = page.locator(".wall-banner")
        expect(banner).to_have_text(
            re.compile(r"Not connected since \d\d:\d\d; this is what stood then\.")
        )
        expect(page.locator("h1")).to_have_text(now["sentence"])
        assert page.locator(".dot-inside[data-code]").count() == len(on.static()["offtakes"])
        assert min(text["px"] for text in page.evaluate(SEEN)["texts"]) >= LEAST_TEXT_PX
        assert_axe_silent(page)
        page.unroute("**/news")
        page.unroute("**/now")
        lead(on, "step", step="list")
        expect(page.locator(".wall[data-step=list]")).to_be_visible(timeout=15_000)
        expect(banner).to_be_hidden()


def test_a_meeting_that_ended_stays_on_the_wall(browser: Browser, tmp_path: Path) -> None:
    """Closed while held, nobody is asked to join; then and opened anew it says where to read."""
    with (
        meeting_served(tmp_path) as on,
        guarded(browser, on.address, HALL, "Failed to load resource") as page,
    ):
        open_wall(page, on)
        lead(on, "hold", held=True)
        expect(page.get_by_text("Held", exact=True)).to_be_visible()
        with on.facilitator() as facilitator:
            facilitator.post("/lead/close", json={}).raise_for_status()
        for _ in range(2):
            expect(page.get_by_text("The meeting has ended.")).to_be_visible()
            minutes = f"{on.phone.removeprefix('http://')}/minutes"
            expect(page.locator(".ended-address")).to_have_text(minutes)
            expect(page.get_by_text("Held", exact=True)).to_be_hidden()
            assert "Join at" not in page.locator("body").inner_text()
            expect(page.locator(".join-qr")).to_have_count(0)
            page.reload()
