"""How numbers are shown: units, years, fish, theme, what is found; and every state of the page."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.test_fund import LISTED
from tests.journeys.test_map import (
    DESK,
    PHONE,
    ROWS,
    assert_axe_silent,
    codes_by_rank,
    watched,
)

SHIFTS = """() => new Promise((done) => {
  let sum = 0;
  new PerformanceObserver((list) => {
    for (const each of list.getEntries()) if (!each.hadRecentInput) sum += each.value;
  }).observe({ type: 'layout-shift', buffered: true });
  setTimeout(() => done(sum), 400);
})"""


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page, watched for errors and foreign requests."""
    yield from watched(browser, address, DESK)


def view(page: Page, **choices: str) -> None:
    """Choose how things are shown."""
    if page.locator("#drawer-view").is_hidden():
        page.get_by_role("button", name="View", exact=True).click()
    for name, value in choices.items():
        page.locator(f"select[name={name}]").select_option(value)


def test_one_ml_a_day_in_every_unit(browser: Browser, address: str) -> None:
    """W10: 1 ML/d shows 11.6 L/s, 0.0116 m3/s, 0.409 cfs; the unit stands in the head."""
    code = codes_by_rank(address)[0]
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    page.route("**/api/offtakes", lambda route: route.fulfill(json=with_one_ml(route, code)))
    page.goto(address)
    page.locator(ROWS).first.wait_for()
    cell = page.locator(f"{ROWS}:has(.cell-code:text-is('{code}')) .cell-capacity")
    head = page.get_by_role("columnheader", name=re.compile("Capacity"))
    bytes_before = httpx.get(f"{address}/api/offtakes").content
    for unit, figure in {"L/s": "11.6", "m3/s": "0.0116", "cfs": "0.409", "ML/d": "1.00"}.items():
        view(page, unit=unit)
        expect(cell).to_have_text(figure)
        expect(head).to_contain_text(unit.replace("m3", "m³"))
        expect(page.locator(".legend")).to_contain_text(f"Mean flow, {unit.replace('m3', 'm³')}")
    assert httpx.get(f"{address}/api/offtakes").content == bytes_before
    context.close()


def with_one_ml(route: Route, code: str) -> Any:
    told = route.fetch().json()
    told["capacity_m3s"][told["offtake_id"].index(code)] = 1 / 86.4
    return told


def test_another_year_or_fish_changes_numbers_never_rank_or_set(page: Page, address: str) -> None:
    """Losses are the view's, the head and the list say whose; order and line stand."""
    listed = page.evaluate(LISTED)
    guild = httpx.get(f"{address}/api/catchment").json()["guilds"][1]
    view(page, year="dry", guild=guild["guild_id"])
    name = guild["name"].split(":")[0]
    expect(page.get_by_role("heading", level=1)).to_contain_text(f"of {name} in dry years")
    expect(page.locator(".view-note")).to_contain_text(f"of {name} in dry years")
    expect(page.locator(".row-head .cell-loss")).to_contain_text("in dry years")
    asked = {"year": "dry", "guild": guild["guild_id"]}
    losses = httpx.get(f"{address}/api/losses", params=asked).json()
    codes = httpx.get(f"{address}/api/offtakes").json()["offtake_id"]
    for place in range(5):
        row = page.locator(ROWS).nth(place)
        risk = losses["risk"][codes.index(row.locator(".cell-code").inner_text())]
        step = min(4, risk * 5 // 1_000_000)
        figure = float(row.locator(".cell-risk").inner_text())
        assert abs(figure - risk / 1e6) < 0.001
        assert min(4, int(figure * 5 + 1e-9)) == step  # figure and colour never disagree
        expect(row.locator(f".cell-risk .risk-{step + 1}")).to_be_visible()
    assert page.evaluate(LISTED) == listed
    page.get_by_role("button", name="Show all").click()
    expect(page.locator(".view-note")).to_be_hidden()


def test_numbers_are_stale_until_the_answer_is_there(browser: Browser, address: str) -> None:
    """W16: marked in the same frame, said in words, and fresh when the answer has come."""
    for page in watched(browser, address, DESK):
        held: list[Route] = []
        page.route("**/api/losses*", lambda route: held.append(route))  # noqa: B023
        view(page, year="wet")
        marked = page.evaluate("document.querySelectorAll('.cell-loss.stale').length")
        assert marked == page.locator(f"{ROWS}:not(.row-line)").count()
        expect(page.locator("h1.stale")).to_have_count(1)
        expect(page.locator(".view-note")).to_contain_text("Asking for the loss in wet years")
        assert_axe_silent(page)
        page.wait_for_timeout(50)
        held[0].continue_()
        expect(page.locator(".stale")).to_have_count(0)
        expect(page.locator(".view-note")).to_contain_text("are in wet years")


def test_a_service_that_went_away_is_said_and_asked_again(browser: Browser, address: str) -> None:
    """W16: the numbers before stay, marked; a button asks again."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    page.goto(address)
    page.locator(ROWS).first.wait_for()
    page.route("**/api/losses*", lambda route: route.abort())
    view(page, year="dry")
    expect(page.locator(".view-note")).to_contain_text("does not answer")
    expect(page.locator(".cell-loss.stale").first).to_be_visible()
    assert_axe_silent(page)
    page.unroute("**/api/losses*")
    page.get_by_role("button", name="Try again").click()
    expect(page.locator(".stale")).to_have_count(0)
    context.close()


def test_what_is_waited_for_and_what_is_empty_is_said(browser: Browser, address: str) -> None:
    """W16: loading says so; where nothing can be funded the line says so."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    held: list[Route] = []
    page.route("**/api/offtakes", lambda route: held.append(route))
    page.goto(address)
    expect(page.get_by_role("status")).to_have_text("Reading the catchment…")
    assert_axe_silent(page)
    told = held[0].fetch().json()
    told["fund_state"] = [0] * told["count"]
    held[0].fulfill(body=json.dumps(told), content_type="application/json")
    page.locator(ROWS).first.wait_for()
    expect(page.locator(".row-line")).to_contain_text("no offtake can be funded in this round")
    expect(page.get_by_role("heading", level=1)).to_contain_text("No offtake is funded from")
    context.close()


@pytest.mark.parametrize("size", [DESK, PHONE, {"width": 1920, "height": 1080}])
def test_the_page_does_not_jump(browser: Browser, address: str, size: dict[str, int]) -> None:
    """W16: layout shift stays below 0.02 while it loads and another year is shown."""
    for page in watched(browser, address, size):
        page.keyboard.press("y")
        expect(page.locator(".stale")).to_have_count(0)
        assert page.evaluate(SHIFTS) < 0.02


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_the_open_drawers_stand_in_every_theme(browser: Browser, address: str, theme: str) -> None:
    """Axe finds nothing with a drawer or the keys open; a projector has larger, darker words."""
    for page in watched(browser, address, {"width": 1920, "height": 1080}):
        size = "getComputedStyle(document.querySelector('.cell-code')).fontSize"
        before = float(page.evaluate(size)[:-2])
        view(page, theme=theme)
        factor = float(page.evaluate(size)[:-2]) / before
        assert factor == pytest.approx(1.4 if theme == "projector" else 1.0)
        assert_axe_silent(page)
        page.get_by_role("button", name="Weights and budget").click()
        assert_axe_silent(page)
        page.get_by_role("button", name="Keys: ?").click()
        assert_axe_silent(page)


def test_an_offtake_is_found_from_far_down(page: Page, address: str) -> None:
    """A code typed and entered is selected, scrolled to and marked; what is not there is said."""
    code = codes_by_rank(address)[-1]
    page.keyboard.press("/")
    page.keyboard.type(code.lower().replace("-", " "))
    expect(page.get_by_role("option").first).to_contain_text(code)
    assert_axe_silent(page)
    page.keyboard.press("Enter")
    expect(page.locator(f"{ROWS}[aria-selected=true] .cell-code")).to_have_text(code)
    expect(page.locator(f"{ROWS}[aria-selected=true]")).to_be_in_viewport()
    expect(page.locator(".pin-selected .pin-code")).to_have_text(code)
    page.get_by_role("combobox", name="Find an offtake").fill("nowhere at all")
    expect(page.locator(".found-nothing")).to_contain_text("nowhere at all")
    reach = httpx.get(f"{address}/api/offtakes").json()["reach"][0]
    river = httpx.get(f"{address}/api/reaches").json()["name"][reach]
    page.get_by_role("combobox", name="Find an offtake").fill(river)
    assert page.get_by_role("option").count() > 0


def test_single_keys_can_be_switched_off(page: Page) -> None:
    """W11 in part: `?` lists the keys; without single keys a letter moves nothing, also later."""
    page.keyboard.press("?")
    keys = page.get_by_role("dialog", name="Keys")
    expect(keys).to_be_visible()
    assert keys.locator("dt").count() >= 10
    keys.get_by_label("Single keys work").uncheck()
    keys.get_by_role("button", name="Close").click()
    page.keyboard.press("u")
    expect(page.get_by_role("columnheader", name=re.compile("Capacity"))).to_contain_text("ML/d")
    page.reload()
    page.locator(ROWS).first.wait_for()
    page.keyboard.press("?")
    expect(keys).to_be_hidden()
    page.get_by_role("button", name="Keys: ?").click()
    keys.get_by_label("Single keys work").check()
    page.keyboard.press("Escape")
    page.keyboard.press("u")
    expect(page.get_by_role("columnheader", name=re.compile("Capacity"))).to_contain_text("L/s")


def test_the_fund_task_by_keys_alone(page: Page, address: str) -> None:
    """Find, open, close, weigh and look where the budget ends, never touching the pointer."""
    code = codes_by_rank(address)[4]
    page.keyboard.press("/")
    page.keyboard.type(code)
    page.keyboard.press("Enter")
    expect(page.locator(".why h2")).to_contain_text(code)
    page.keyboard.press("Escape")
    expect(page.locator(".why")).to_be_hidden()
    before = page.get_by_role("heading", level=1).inner_text()
    page.keyboard.press("w")
    page.keyboard.press("PageDown")
    assert page.get_by_role("heading", level=1).inner_text() != before
    page.keyboard.press("Escape")
    expect(page.locator("#drawer-weights")).to_be_hidden()
    page.keyboard.press("b")
    assert "budget ends here" in page.evaluate("document.activeElement.textContent")
