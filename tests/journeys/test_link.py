"""A link alone reopens what was seen; back and forward work; reasons are never in it."""

from __future__ import annotations

import json
import re
from typing import Any
from urllib.parse import unquote

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_best_set import (
    BEST,
    SMALL,
    open_code,
    outside_by_score,
    said,
    set_budget,
    settled,
    show,
)
from tests.journeys.test_fund import LISTED, above_the_line, box, by_box, slider, weights_shown
from tests.journeys.test_map import DESK, PHONE, ROWS, assert_axe_silent, open_page, watched
from tests.journeys.test_shown import view

REST_MS = 400
SECRET = "Promised behind Duskenby shed"


def address_now(page: Page) -> str:
    """The address once it has come to rest."""
    while True:
        before = page.url
        page.wait_for_timeout(REST_MS)
        if page.url == before:
            return before


def seen(page: Page) -> dict[str, Any]:
    """What the page shows, read from the page."""
    page.wait_for_timeout(REST_MS)
    drawer = page.get_by_role("button", name="Weights and budget")
    if drawer.get_attribute("aria-expanded") == "false":
        drawer.press("Enter")
    found = {
        "weights": weights_shown(page),
        "budget": box(page, "Budget").input_value(),
        "way": page.get_by_role("radio", checked=True).inner_text(),
        "listed": page.evaluate(LISTED),
        "head": said(page),
        "units": page.get_by_role("columnheader").all_inner_texts(),
        "selects": page.locator(".drawer-view select").evaluate_all("s => s.map(e => e.value)"),
        "theme": page.evaluate("document.documentElement.dataset.theme"),
        "open": page.locator(".why-code").all_inner_texts(),
        "map": page.locator("#map-summary").text_content(),
    }
    drawer.press("Enter")
    return found


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_a_link_alone_reopens_what_was_seen(
    browser: Browser, address: str, size: dict[str, int]
) -> None:
    """W8: weights, budget, way, unit, view, what is open and the map, in another browser."""
    for page in watched(browser, address, size):
        page.get_by_role("button", name="Weights and budget").click()
        by_box(page, "Entrainment risk", 43)
        by_box(page, "Budget", 777_700)
        page.get_by_role("button", name="Weights and budget").click()
        for key in "yufu":
            page.keyboard.press(key)
        view(page, theme="projector")
        page.locator(ROWS).nth(2).click()
        page.locator(".map").focus()
        for _ in range(2):
            page.keyboard.press("+")
            page.wait_for_timeout(REST_MS)
        page.evaluate("scrollTo(0, 0)")
        link, mine = address_now(page), seen(page)
        for other in watched(browser, link, size):
            expect(other.locator(".why-code")).to_be_visible()
            assert seen(other) == mine
            assert address_now(other) == link
        assert "map=" in link
        assert "at=LN-" in link


@pytest.mark.long
def test_hand_choices_of_a_link_wait_for_their_reasons(browser: Browser, address: str) -> None:
    """W8, W9: codes come without reasons, are not sent, and count once a reason is written."""
    for page in watched(browser, address, DESK):
        set_budget(page, SMALL)
        show(page, BEST)
        settled(page)
        best = above_the_line(page.evaluate(LISTED))
        code = next(code for code in outside_by_score(page, address) if code not in best)
        open_code(page, code)
        page.get_by_label("Your reason").fill(SECRET)
        page.get_by_role("button", name="Keep in").click()
        settled(page)
        kept = above_the_line(page.evaluate(LISTED))
        link = address_now(page)
        assert f"in={code}" in link
        assert not any(word in unquote(link) for word in SECRET.split())
        page.reload()
        expect(page.locator(".why-fund")).to_contain_text(SECRET)
    for page in watched(browser, link, DESK):
        sent: list[dict[str, Any]] = []
        page.on("request", lambda asked: note_sent(asked, sent))  # noqa: B023
        expect(page.locator(".link-waiting")).to_contain_text(f"{code}, kept in")
        settled(page)
        assert above_the_line(page.evaluate(LISTED)) == best
        assert_axe_silent(page)
        page.get_by_role("button", name="Close", exact=True).click()
        page.get_by_role("button", name=f"{code}, kept in").press("Enter")
        expect(page.locator(".hand-made")).to_contain_text("The reason is not in the link")
        page.get_by_role("button", name="Keep in").click()
        expect(page.locator("#hand-wrong")).to_contain_text("Write the reason first")
        page.get_by_label("Your reason").fill("Another reason")
        page.get_by_role("button", name="Keep in").click()
        expect(page.locator(".link-waiting")).to_be_hidden()
        settled(page)
        assert above_the_line(page.evaluate(LISTED)) == kept
        assert sent[-1]["kept_in"] == {code: "Another reason"}


def note_sent(asked: Any, sent: list[dict[str, Any]]) -> None:
    if asked.method == "POST":
        sent.append(json.loads(asked.post_data))


def test_back_and_forward_follow_the_steps(browser: Browser, address: str) -> None:
    """Each step, what was open and the tab come back in turn, reasons too, and forth again."""
    for page in watched(browser, address, DESK):
        marks = [address_now(page)]
        page.keyboard.press("y")
        marks.append(address_now(page))
        page.locator(ROWS).nth(1).click()
        marks.append(address_now(page))
        page.get_by_role("tab", name=re.compile("Money")).click()
        marks.append(address_now(page))
        assert len(set(marks)) == 4
        for mark in reversed(marks[:-1]):
            page.go_back()
            assert address_now(page) == mark
        expect(page.locator(".why")).to_be_hidden()
        expect(page.locator(".view-note")).to_be_hidden()
        for mark in marks[1:]:
            page.go_forward()
            assert address_now(page) == mark
        expect(page.locator(".tab-money")).to_be_visible()
        expect(page.locator(".why")).to_be_visible()
        expect(page.locator(".view-note")).to_contain_text("in dry years")


def test_a_drag_is_one_entry_and_leafing_is_none(browser: Browser, address: str) -> None:
    """A dragged slider and opened offtakes leafed through do not fill the browser's history."""
    for page in watched(browser, address, DESK):
        page.get_by_role("button", name="Weights and budget").click()
        address_now(page)
        before = page.evaluate("history.length")
        thumb = slider(page, "Budget").bounding_box()
        assert thumb is not None
        y = thumb["y"] + thumb["height"] / 2
        page.mouse.move(thumb["x"] + 0.3 * thumb["width"], y)
        page.mouse.down()
        for part in (0.4, 0.5, 0.6, 0.7):
            page.mouse.move(thumb["x"] + part * thumb["width"], y, steps=5)
            page.wait_for_timeout(REST_MS)
        page.mouse.up()
        address_now(page)
        assert page.evaluate("history.length") == before + 1
        for place in range(3):
            page.locator(f"{ROWS} .cell-code").nth(place).click()
            address_now(page)
        assert page.evaluate("history.length") == before + 2


def test_a_link_on_other_data_says_so_calmly(browser: Browser, address: str) -> None:
    """Both data versions and what these data do not have are named; the note can be closed."""
    link = f"{address}/#w=risk:500,depth:500&b=500000&in=LN-999&d=0123456789ab"
    for page in watched(browser, link, DESK):
        note = page.locator(".link-note")
        expect(note).to_contain_text("data version 0123456789ab")
        version = page.locator(".stamp dd").first.inner_text()
        expect(note).to_contain_text(f"shown is data version {version}")
        expect(note).to_contain_text("depth and LN-999")
        assert_axe_silent(page)
        page.get_by_role("button", name="Close this note").click()
        expect(note).to_be_hidden()
        assert "of 500,000 CDL" in said(page)
        assert f"d={version}" in address_now(page)


def test_a_link_gives_the_public_no_budget(browser: Browser, address: str) -> None:
    """Seen as the public, a lead's link moves the weights that may be seen and nothing else."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    link = "#w=risk:300,overlap:100,cost:600&b=500000&way=best&u=cfs"
    open_page(page, f"{address}/?as=public{link}")
    expect(page.locator(".below-glance")).to_contain_text("Costs are shown in bands")
    page.get_by_role("button", name="Weights", exact=True).click()
    assert box(page, "Entrainment risk").input_value() == "75"
    assert "b=" not in address_now(page)
    context.close()


def test_a_broken_link_opens_the_catchment(browser: Browser, address: str) -> None:
    """Nonsense behind the # moves nothing and troubles nobody."""
    for page in watched(browser, f"{address}/#w=%E0%A4%A&b=-1&map=9,9&at=%22&=&", DESK):
        for plain in watched(browser, address, DESK):
            assert seen(page) == seen(plain)
