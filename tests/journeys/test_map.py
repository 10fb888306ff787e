"""The ranked list beside the map: it loads, agrees with the service, works by pointer and keys."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.journeys.taken_down import ALL, bundled, require_nothing_left

DESK, PHONE = {"width": 1440, "height": 900}, {"width": 390, "height": 844}
AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
ROWS = ".list-body [role=row]"


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page that fails the test on any error or foreign request."""
    yield from watched(browser, address, DESK)


@pytest.fixture
def phone(browser: Browser, address: str) -> Iterator[Page]:
    """A phone's page, watched likewise."""
    yield from watched(browser, address, PHONE)


def watched(
    browser: Browser, address: str, size: dict[str, int], forgiven: str = ""
) -> Iterator[Page]:
    """Open a page that fails the test on any error, what says ``forgiven`` left out."""
    with guarded(browser, address, size, forgiven) as page:
        open_page(page, address)
        yield page


@contextmanager
def guarded(
    browser: Browser, address: str, size: dict[str, int], forgiven: str = ""
) -> Iterator[Page]:
    """Give a page that fails likewise, nothing opened on it yet."""
    context = browser.new_context(viewport=size, reduced_motion="reduce")
    page = context.new_page()
    trouble: list[str] = []
    page.on(
        "console",
        lambda said: (
            trouble.append(said.text)
            if said.type in ("error", "warning") and not (forgiven and forgiven in said.text)
            else None
        ),
    )
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on(
        "request",
        lambda asked: trouble.append(asked.url) if is_foreign(asked.url, address) else None,
    )
    yield page
    context.close()
    assert not trouble


def is_foreign(url: str, address: str) -> bool:
    return urlsplit(url).netloc != urlsplit(address).netloc and not url.startswith("data:")


def open_page(page: Page, address: str) -> None:
    page.goto(address)
    page.locator(ROWS).first.wait_for()
    page.locator(".place-name").first.wait_for(state="attached")


def codes_listed(address: str) -> list[str]:
    """Codes from the list's first place to its last: inside the money, then the others."""
    offtakes = httpx.get(f"{address}/api/offtakes").json()
    ranked = [offtakes["offtake_id"].index(code) for code in codes_by_rank(address)]
    inside = set(funded_rows(offtakes, ranked, budget_of(address)))
    listed = [row for row in ranked if row in inside] + [row for row in ranked if row not in inside]
    return [offtakes["offtake_id"][row] for row in listed]


def budget_of(address: str) -> float:
    return float(httpx.get(f"{address}/api/catchment").json()["budget_hint"])


def funded_rows(offtakes: dict[str, Any], ranked: list[int], budget: float) -> list[int]:
    """Rows the money reaches, by the rule of section 10, worked out here on its own."""
    state, cost = offtakes["fund_state"], offtakes["fund_cost"]
    inside = [row for row, its in enumerate(state) if its == 2]
    spent = sum(cost[row] for row in inside)
    assert spent <= budget
    for row in ranked:
        if state[row] == 1 and spent + cost[row] <= budget * (1 + 1e-9):
            inside.append(row)
            spent += cost[row]
    return inside


def codes_by_rank(address: str) -> list[str]:
    offtakes = httpx.get(f"{address}/api/offtakes").json()
    ranked = sorted(zip(offtakes["rank"], offtakes["offtake_id"], strict=True))
    return [code for _, code in ranked]


def codes_shown(page: Page) -> dict[int, str]:
    """Code by aria-rowindex of every offtake's row that exists."""
    found = page.locator(f"{ROWS}:not(.row-line)").evaluate_all(
        "rows => rows.map(r => [Number(r.ariaRowIndex ?? r.getAttribute('aria-rowindex')),"
        " r.querySelector('.cell-code').textContent])"
    )
    return dict(found)


def test_the_list_stands_in_the_servers_order_from_first_to_last(page: Page, address: str) -> None:
    """W12: scrolled through, every offtake stands once, inside first, each in order of rank."""
    expected, seen = codes_listed(address), {}
    grid = page.get_by_role("grid")
    assert grid.get_attribute("aria-rowcount") == str(len(expected) + 2)
    step = grid.evaluate("g => g.clientHeight / 2")
    for top in range(0, int(grid.evaluate("g => g.scrollHeight")) + 1, int(step)):
        grid.evaluate(
            "(g, top) => new Promise(done => { g.scrollTop = top; setTimeout(done, 40); })", top
        )
        seen |= codes_shown(page)
    assert [seen[index] for index in sorted(seen)] == expected
    line = page.locator(".row-line")
    page.locator(ROWS).first.focus()
    page.keyboard.press("b")
    expect(line).to_contain_text("budget ends here")
    at = int(line.get_attribute("aria-rowindex") or 0)
    assert sorted([*seen, at]) == list(range(2, len(expected) + 3))


def test_only_rows_near_the_view_exist(page: Page) -> None:
    """The list is virtual."""
    assert page.locator(ROWS).count() < 60


def test_keys_walk_the_list_and_the_map_follows(page: Page, address: str) -> None:
    """Arrow keys move the focus, the map marks the same code, Enter selects, Escape clears."""
    codes = codes_listed(address)
    page.locator(ROWS).first.focus()
    expect(page.locator(".pin-hovered .pin-code")).to_have_text(codes[0])
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(page.locator(".pin-hovered .pin-code")).to_have_text(codes[2])
    page.keyboard.press("Enter")
    expect(page.locator(".pin-selected .pin-code")).to_have_text(codes[2])
    expect(page.locator(".why h2")).to_contain_text(codes[2])
    expect(page.locator(f"{ROWS}[aria-selected=true]")).to_have_attribute("aria-rowindex", "4")
    page.locator(f"{ROWS}[aria-selected=true]").focus()
    page.locator(f"{ROWS}[aria-selected=true]").focus()
    page.keyboard.press("End")
    assert (
        page.evaluate("document.activeElement.querySelector('.cell-code').textContent") == codes[-1]
    )
    page.keyboard.press("Home")
    assert page.evaluate("document.activeElement.getAttribute('aria-rowindex')") == "2"
    page.keyboard.press("Escape")
    expect(page.locator(".why")).to_be_hidden()
    expect(page.locator(".pin")).to_have_count(1)


def test_the_list_is_near_by_keys(page: Page) -> None:
    """At most eight tabs lead from the top of the page to the list."""
    for _ in range(8):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('[role=grid]') !== null"):
            return
    pytest.fail("the list was not reached")


def test_pointing_at_a_row_marks_the_map_and_pointing_at_a_disc_marks_the_row(page: Page) -> None:
    """Hover links both ways, and a click on the disc selects its row."""
    row = page.locator(ROWS).nth(3)
    code = row.locator(".cell-code").inner_text()
    row.hover()
    pin = page.locator(".pin-hovered")
    expect(pin.locator(".pin-code")).to_have_text(code)
    box = pin.locator(".pin-ring").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    expect(page.locator(".row.hovered .cell-code")).to_have_text(code)
    page.mouse.click(x, y)
    expect(page.locator(f"{ROWS}[aria-selected=true] .cell-code")).to_have_text(code)
    page.get_by_role("button", name="Close").click()
    expect(page.locator(".why")).to_be_hidden()


def test_the_map_says_in_words_what_it_shows(page: Page, address: str) -> None:
    """The summary counts what is in view and follows the view."""
    codes = codes_by_rank(address)
    summary = page.locator("#map-summary")
    expect(summary).to_have_text(
        f"Map of {len(codes)} offtakes; {len(codes)} in view, {codes[0]} ranked highest among them."
    )
    for _ in range(4):
        page.get_by_role("button", name="Zoom in").click()
    expect(summary).not_to_contain_text(f"; {len(codes)} in view")


def test_the_units_stand_in_the_heads(page: Page, address: str) -> None:
    """Every column of numbers states its unit once, in its head."""
    currency = httpx.get(f"{address}/api/catchment").json()["currency"]
    heads = page.get_by_role("columnheader").all_inner_texts()
    assert len(heads) == 9
    assert any("Capacity" in head and "ML/d" in head for head in heads)
    assert any(f"thousand {currency}" in head for head in heads)
    assert any("% of loss per 100,000" in head for head in heads)


@pytest.mark.parametrize(
    "size", [DESK, PHONE, {"width": 1920, "height": 1080}, {"width": 320, "height": 256}]
)
def test_axe_finds_nothing(browser: Browser, address: str, size: dict[str, int]) -> None:
    """No violation, with and without an offtake selected."""
    for page in watched(browser, address, size):
        assert_axe_silent(page)
        page.locator(ROWS).first.click()
        expect(page.locator(".why")).to_be_visible()
        assert_axe_silent(page)


def assert_axe_silent(page: Page) -> None:
    found = Axe().run(page, options=AXE)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize(
    "size", [{"width": 320, "height": 640}, {"width": 320, "height": 256}, PHONE]
)
def test_a_narrow_page_scrolls_one_way_only(
    browser: Browser, address: str, size: dict[str, int]
) -> None:
    """At 320 px and on a phone nothing is wider than the page, and no cell's number is cut."""
    for page in watched(browser, address, size):
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        grid = page.get_by_role("grid")
        assert grid.evaluate("g => g.scrollWidth <= g.clientWidth")
        cut = (
            "cells => cells.filter(c => c.scrollWidth > c.clientWidth + 1).map(c => c.textContent)"
        )
        assert page.locator(f"{ROWS} .cell:not(.cell-option)").evaluate_all(cut) == []


def test_a_phone_shows_the_map_above_the_list_and_fingers_fit(phone: Page) -> None:
    """Map above, list below; rows and the panel's button are at least 44 px."""
    canvas, grid = phone.locator(".map").bounding_box(), phone.get_by_role("grid").bounding_box()
    assert canvas is not None
    assert grid is not None
    assert canvas["y"] + canvas["height"] <= grid["y"]
    row = phone.locator(ROWS).first
    row.click()
    for target in (row, phone.get_by_role("button", name="Close")):
        box = target.bounding_box()
        assert box is not None
        assert min(box["height"], box["width"]) >= 44


def test_the_public_page_shows_bands_and_no_exact_cost(browser: Browser, address: str) -> None:
    """Looked at as the public, costs are bands and the panel tells no capacity or volume."""
    for page in watched(browser, f"{address}/?as=public", DESK):
        assert "–" in page.locator(f"{ROWS} .cell-money").first.inner_text()
        page.locator(ROWS).first.click()
        told = page.locator(".why-intake").inner_text()
        assert "at most" not in told
        assert "draws" not in told


def test_a_silent_service_is_said_and_tried_again(browser: Browser, address: str) -> None:
    """Without an answer the page says so and a button asks again."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    page.route("**/api/offtakes*", lambda route: route.abort())
    page.goto(address)
    expect(page.get_by_role("alert")).to_contain_text("does not answer")
    assert Axe().run(page, options=AXE).violations_count == 0
    page.unroute("**/api/offtakes*")
    page.get_by_role("button", name="Try again").click()
    page.locator(ROWS).first.wait_for()
    context.close()


def test_missing_surroundings_leave_the_rest_standing(browser: Browser, address: str) -> None:
    """Where land, roads and towns do not come, a line says so and the list and rivers are there."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    page.route("**/api/land*", lambda route: route.abort())
    page.goto(address)
    page.locator(ROWS).first.wait_for()
    expect(page.locator(".partial")).to_contain_text("could not be fetched")
    context.close()


def test_what_is_mounted_can_be_taken_down(browser: Browser, address: str, tmp_path: Path) -> None:
    """Fifty times mounted and disposed, the screen leaves no node and no listener."""
    context = browser.new_context(viewport=DESK, bypass_csp=True)
    page = context.new_page()
    page.add_init_script(COUNT_LISTENERS)
    open_page(page, address)
    require_nothing_left(page, bundled("mount_many", tmp_path), "mountMany", ALL)
    context.close()


COUNT_LISTENERS = """
// Counts what listens to the lasting targets, window and document: what listens to an element goes
// with the element.
window.listening = { count: 0 };
const heard = new Map([[window, new Map()], [document, new Map()]]);
const tally = () => {
  let count = 0;
  for (const names of heard.values()) for (const hears of names.values()) count += hears.size;
  window.listening.count = count;
};
const captures = (options) => (typeof options === 'object' ? !!options?.capture : !!options);
const named = (name, options) => `${name} ${captures(options)}`;
const { addEventListener: add, removeEventListener: remove } = EventTarget.prototype;
EventTarget.prototype.addEventListener = function (name, hear, options) {
  const names = heard.get(this ?? window);
  if (names && hear && !options?.once) {
    const key = named(name, options);
    names.set(key, (names.get(key) ?? new Set()).add(hear));
    tally();
  }
  return add.call(this ?? window, name, hear, options);
};
EventTarget.prototype.removeEventListener = function (name, hear, options) {
  heard.get(this ?? window)?.get(named(name, options))?.delete(hear);
  tally();
  return remove.call(this ?? window, name, hear, options);
};
"""
