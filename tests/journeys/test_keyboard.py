"""The fund task by keyboard alone: find, open, keep in, re-weigh, save, print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_best_set import LONG_MS, Works, first_set
from tests.journeys.test_cases import saved
from tests.journeys.test_fund import LISTED, weights_shown
from tests.journeys.test_map import DESK, ROWS, assert_axe_silent, watched

MOST_TABS = 8


@pytest.fixture
def page(browser: Browser, work_address: str) -> Iterator[Page]:
    """A desk's page on a database, watched for errors and foreign requests."""
    yield from watched(browser, work_address, DESK)


def focused(page: Page) -> str:
    """What has the focus: its label, else its words."""
    return page.evaluate(
        "(document.activeElement.ariaLabel ?? document.activeElement.textContent).trim()"
    )


def tab_to(page: Page, words: str, most: int = 40) -> None:
    """Press Tab until something of these words has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if focused(page) == words or re.fullmatch(words, focused(page)):
            return
    pytest.fail(f"{words} was not reached by {most} tabs")


def tabs_to_the_list(page: Page) -> int:
    page.evaluate("document.activeElement.blur()")
    for count in range(1, 20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('[role=grid]') !== null"):
            return count
    pytest.fail("the list was not reached")


def fundable(address: str) -> str:
    """A code that may be funded, far down by rank."""
    told: dict[str, Any] = httpx.get(f"{address}/api/offtakes").json()
    rows = sorted(range(told["count"]), key=lambda row: -told["rank"][row])
    return next(told["offtake_id"][row] for row in rows if told["fund_state"][row] == 1)


def test_the_fund_task_by_keyboard_alone(page: Page, work_address: str) -> None:
    """W11: find, open, keep in with a reason, re-weigh, save and print without a pointer."""
    code = fundable(work_address)
    page.keyboard.press("w")
    tab_to(page, "Budget, CDL")
    page.keyboard.press("Control+a")
    page.keyboard.type("300000")
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    page.keyboard.press("s")  # the best set
    page.keyboard.press("/")  # find
    page.keyboard.type(code.lower())
    page.keyboard.press("Enter")
    expect(page.locator(".why-code")).to_have_text(code)
    expect(page.locator("h1.stale")).to_have_count(0, timeout=LONG_MS)
    before = page.evaluate(LISTED)
    row = page.locator(f"{ROWS}[aria-selected=true]")
    expect(row).to_be_focused()
    tab_to(page, "")  # the reason's field has no words of its own
    page.keyboard.type("Promised to the council")
    tab_to(page, "Keep in")
    page.keyboard.press("Enter")
    expect(page.locator(".hand-made")).to_contain_text("Kept in by hand: Promised to the council")
    expect(page.locator("h1.stale")).to_have_count(0, timeout=LONG_MS)
    listed = page.evaluate(LISTED)
    assert code in listed[: listed.index(None)]
    assert code not in before[: before.index(None)]
    page.keyboard.press("Escape")
    page.keyboard.press("w")  # re-weigh
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert weights_shown(page)["risk"] == 620
    page.keyboard.press("Escape")
    page.keyboard.press("c")  # save
    cases = page.get_by_role("dialog", name="Cases")
    expect(cases).to_be_visible()
    expect(cases.get_by_role("group", name="Save this first, then print")).to_be_visible()
    tab_to(page, "Fund page: save this first, then print")
    page.keyboard.press("Enter")
    page.keyboard.type("By keyboard alone")
    page.keyboard.press("Enter")
    expect(cases.get_by_role("status").first).to_contain_text("is saved", timeout=LONG_MS)
    papers = cases.get_by_role("list", name="Papers and files of what is tried now")
    expect(papers.get_by_role("link", name="Fund page")).to_be_focused()  # print
    made = httpx.get(f"{work_address}/api/cases").json()["cases"][0]
    assert made["name"] == "By keyboard alone"
    link = page.evaluate("document.activeElement.href")
    assert link == f"{work_address}/print/fund/{made['id']}"
    with page.context.expect_page() as printed:
        page.keyboard.press("Enter")
    assert printed.value.url.endswith(f"/print/fund/{made['id']}")
    kept = httpx.get(f"{work_address}/api/cases/{made['id']}").json()
    assert kept["trial"]["kept_in"] == {code: "Promised to the council"}
    assert next(row for row in kept["result"]["rows"] if row["code"] == code)["state"] == "inside"


def test_the_list_is_near_by_keys_on_every_start(
    browser: Browser, address: str, work_address: str
) -> None:
    """W11: at most eight tabs to the list: read from a file, worked on, on a case, tried on one."""
    held = f"{work_address}/?case={saved(work_address, 'Near by keys')['id']}"
    tried = f"{held}#w=risk:600,overlap:100,cost:300&b=500000&try=1"
    for start in (address, work_address, held, tried):
        for page in watched(browser, start, DESK):
            assert tabs_to_the_list(page) <= MOST_TABS, start


def test_bars_of_buttons_are_walked_by_arrows(page: Page) -> None:
    """Each bar is one stop for the tab key; arrows lead on and around within it."""
    page.get_by_role("combobox").focus()
    page.keyboard.press("Tab")
    names = []
    for _ in range(5):
        names.append(focused(page))
        page.keyboard.press("ArrowRight")
    assert names == ["Weights and budget", "View", "Undo", "Redo", "Weights and budget"]
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    assert focused(page) == "Redo"
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Tab")
    assert focused(page) == "Redo"


def test_the_keys_are_listed_and_can_be_switched_off(page: Page) -> None:
    """W11, 2.1.4: ? lists them; off they stay off over a reload; undo needs no single key."""
    page.keyboard.press("?")
    keys = page.get_by_role("dialog", name="Keys")
    listed = dict(
        zip(keys.locator("dt").all_inner_texts(), keys.locator("dd").all_inner_texts(), strict=True)
    )
    assert {"/", "w", "b", "s", "m", "c", "v", "y", "f", "u", "t", "?", "Ctrl+Z"} <= listed.keys()
    assert "cases" in listed["c"]
    assert_axe_silent(page)
    tab_to(page, "")
    page.keyboard.press("Space")
    page.keyboard.press("Escape")
    expect(keys).to_be_hidden()
    for _ in range(2):
        for key in "cywst?":
            page.keyboard.press(key)
        expect(page.get_by_role("dialog")).to_have_count(0)
        expect(page.locator("#drawer-weights")).to_be_hidden()
        assert page.evaluate("document.documentElement.dataset.theme") == "light"
        page.reload()
        page.locator(ROWS).first.wait_for()
    Works(page, "best-set", {**first_set(), "final": True}, done=1, total=1, state="done")
    page.get_by_role("radio", name="Best set").press("Enter")
    page.keyboard.press("Control+z")
    expect(page.get_by_role("radio", name="By score")).to_be_checked()
    page.get_by_role("button", name="Keys: ?").press("Enter")
    box = keys.get_by_role("checkbox")
    expect(box).not_to_be_checked()
    box.press("Space")
    page.keyboard.press("Escape")
    page.keyboard.press("c")
    expect(page.get_by_role("dialog", name="Cases")).to_be_visible()


def test_a_held_letter_acts_once(page: Page) -> None:
    """A key that repeats while it is held does not run through everything."""
    for _ in range(3):
        page.keyboard.down("y")  # down again without up is a repeat
    page.keyboard.up("y")
    expect(page.locator(".view-note")).to_contain_text("in dry years")
