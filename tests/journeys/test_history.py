"""What is tried can be taken back, step by step, and put forth again, over a reload too."""

from __future__ import annotations

import itertools
import re
import time
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_best_set import Works, first_set, open_code
from tests.journeys.test_fund import by_box, offtakes_of, slider
from tests.journeys.test_map import DESK, ROWS, assert_axe_silent, open_page, watched

STEPS, FEW_STEPS = 100, 30
LONG_S = 20.0
REST_MS = 400
"""Address and steps are written within 150 ms; a busy machine takes longer."""
STATE = """() => {
  const key = Object.keys(sessionStorage).find((name) => name.startsWith('steps '));
  const { all, at } = JSON.parse(sessionStorage.getItem(key));
  return [all[at], at, all.length];
}"""


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page with the weights open, the best set answered at once."""
    for page in watched(browser, address, DESK):
        answered_at_once(page)
        page.get_by_role("button", name="Weights and budget").click()
        yield page


def answered_at_once(page: Page) -> None:
    Works(page, "best-set", {**first_set(), "final": True}, done=1, total=1, state="done")


def state_of(page: Page, at: int | None = None) -> dict[str, Any]:
    """What is tried, reasons too, as this tab keeps it for a reload; at a step once it is there."""
    if at is None:
        page.wait_for_timeout(REST_MS)
    else:
        end = time.monotonic() + LONG_S
        while page.evaluate(STATE)[1] != at and time.monotonic() < end:
            page.wait_for_timeout(20)
    state: dict[str, Any] = page.evaluate(STATE)[0]
    return state


def take_step(page: Page, serial: int, codes: list[str]) -> None:
    """Take one step, each kind in turn."""
    kind = serial % 10
    if kind in (2, 3, 4):
        page.keyboard.press("yfu"[kind - 2])
    elif kind in (6, 9):
        page.keyboard.press("s")
    elif kind == 7:
        keep_in(page, codes[serial // 10], f"reason {serial}")
    elif kind == 8:
        installs = page.get_by_label("Most installs", exact=True)
        if not installs.is_visible():
            page.get_by_text("Conditions of the best set").click()
        installs.fill(str(serial))
        installs.press("Enter")
    else:
        name = {0: "Budget", 1: "Entrainment risk", 5: "Season overlap"}[kind]
        by_box(page, name, 600_000 + 1000 * serial if kind == 0 else 10 + serial // 2)
    page.evaluate("document.activeElement.blur()")


def keep_in(page: Page, code: str, reason: str) -> None:
    """Keep an offtake in by hand and shut its panel."""
    open_code(page, code)
    page.get_by_label("Your reason").fill(reason)
    page.get_by_role("button", name="Keep in").click()
    page.get_by_role("button", name="Close", exact=True).click()


def test_many_steps_come_back_and_forth_again_over_a_reload(
    page: Page, address: str, request: pytest.FixtureRequest
) -> None:
    """W7: each of 100 steps (30 in the short run) is restored all the way down, reasons too; kept
    over a reload."""
    many = STEPS if request.config.getoption("--long") else FEW_STEPS
    offtakes = offtakes_of(address)
    listed = zip(offtakes["offtake_id"], offtakes["fund_state"], strict=True)
    codes = [code for code, state in listed if state == 1]
    states = [state_of(page)]
    for serial in range(many):
        take_step(page, serial, codes)
        states.append(state_of(page, serial + 1))
    assert all(one != other for one, other in itertools.pairwise(states))
    assert page.evaluate(STATE)[1:] == [many, many + 1]
    assert states[-1]["keptIn"]
    head = page.get_by_role("heading", level=1).inner_text()
    for at in range(many - 1, many // 2 - 1, -1):
        page.keyboard.press("Control+z")
        assert state_of(page, at) == states[at]
    page.wait_for_timeout(REST_MS)
    page.reload()
    page.locator(ROWS).first.wait_for()
    assert state_of(page) == states[many // 2]
    assert page.evaluate(STATE)[1:] == [many // 2, many + 1]
    for at in range(many // 2 - 1, -1, -1):
        page.get_by_role("button", name="Undo").click()
        assert state_of(page, at) == states[at]
    expect(page.get_by_role("button", name="Undo")).to_have_attribute("aria-disabled", "true")
    for at in range(1, many + 1):
        page.keyboard.press("Control+Shift+z")
        assert state_of(page, at) == states[at]
    expect(page.get_by_role("button", name="Redo")).to_have_attribute("aria-disabled", "true")
    assert page.get_by_role("heading", level=1).inner_text() == head


def test_a_drag_and_a_held_key_are_one_step_each(page: Page) -> None:
    """However many ticks a movement has, one undo takes it back; what was undone is said."""
    before = state_of(page)
    thumb = slider(page, "Budget").bounding_box()
    assert thumb is not None
    y = thumb["y"] + thumb["height"] / 2
    page.mouse.move(thumb["x"] + 0.3 * thumb["width"], y)
    page.mouse.down()
    page.mouse.move(thumb["x"] + 0.7 * thumb["width"], y, steps=25)
    page.mouse.up()
    dragged = state_of(page)
    slider(page, "Entrainment risk").focus()
    for _ in range(20):
        page.keyboard.down("ArrowRight")  # the same key down again is a key that is held
    page.keyboard.up("ArrowRight")
    held = state_of(page)
    assert held["weights"]["risk"] == before["weights"]["risk"] + 200
    assert page.evaluate(STATE)[1] == 2
    page.keyboard.press("Control+z")
    expect(page.locator(".strip").get_by_role("status").last).to_have_text("Undone: weights.")
    assert state_of(page) == dragged
    page.keyboard.press("Control+z")
    assert state_of(page) == before
    page.keyboard.press("Control+y")
    assert state_of(page) == dragged


def test_a_new_step_forgets_what_was_undone(page: Page) -> None:
    """After an undo and a change there is nothing to redo, and both buttons say so."""
    undo, redo = (page.get_by_role("button", name=name) for name in ("Undo", "Redo"))
    by_box(page, "Budget", 500_000)
    page.keyboard.press("Escape")
    undo.click()
    expect(undo).to_have_attribute("aria-disabled", "true")
    expect(redo).to_have_attribute("aria-disabled", "false")
    page.keyboard.press("y")
    expect(redo).to_have_attribute("aria-disabled", "true")
    redo.press("Enter")
    expect(page.locator(".strip").get_by_role("status").last).to_have_text("Nothing to redo.")
    assert_axe_silent(page)


def test_typing_keeps_its_own_undo(page: Page) -> None:
    """Ctrl+Z in a text box is the box's own; the trial stays."""
    by_box(page, "Budget", 500_000)
    before = state_of(page)
    page.get_by_role("combobox").press_sequentially("LN")
    page.keyboard.press("Control+z")
    assert state_of(page) == before


def test_looking_at_things_is_no_step(page: Page) -> None:
    """Theme, tab, what is open and where the map looks are not undone."""
    before = page.evaluate(STATE)[1:]
    page.keyboard.press("Escape")
    page.keyboard.press("t")
    page.locator(ROWS).first.click()
    page.get_by_role("button", name="Zoom in").click()
    page.get_by_role("tab", name=re.compile("Money")).click()
    state_of(page)
    assert page.evaluate(STATE)[1:] == before


def test_a_link_that_is_opened_in_the_tab_is_a_step(browser: Browser, address: str) -> None:
    """What was tried before a link was followed comes back by undo."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    open_page(page, address)
    mine = state_of(page)
    page.evaluate("location.hash = '#b=123456&y=dry'")
    assert state_of(page) == {**mine, "budget": 123_456, "year": "dry"}
    page.keyboard.press("Control+z")
    assert state_of(page) == mine
    context.close()
