"""What fits where: a phone's first view, one scroll and sheet; the map's room on a projector."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_map import PHONE, ROWS, codes_listed, codes_shown, watched
from tests.journeys.test_shown import view

DESKS = [{"width": 1440, "height": 900}, {"width": 1920, "height": 1080}]


@pytest.fixture
def phone(browser: Browser, address: str) -> Iterator[Page]:
    """A phone's page, watched for errors and foreign requests."""
    yield from watched(browser, address, PHONE)


def test_a_phones_first_view_has_head_map_and_rows(phone: Page) -> None:
    """Before any scroll the sentence, the map and two rows at least are seen whole."""
    for seen in ("h1", ".map"):
        expect(phone.locator(seen)).to_be_in_viewport(ratio=1)
    for place in (0, 1):
        expect(phone.locator(ROWS).nth(place)).to_be_in_viewport(ratio=1)
    told = phone.get_by_role("columnheader").all_inner_texts()
    assert [head.split("\n")[0] for head in told][1:] == ["Code", "Score", "Risk", "Fund pays"]


def test_legend_and_data_lines_wait_behind_one_button(phone: Page) -> None:
    """Folded away at first; one tap shows both, another folds them."""
    folded = phone.locator(".legend, .stamp")
    for line in folded.all():
        expect(line).to_be_hidden()
    phone.get_by_role("button", name="Legend").click()
    for line in folded.all():
        expect(line).to_be_visible()
    phone.get_by_role("button", name="Legend").click()
    for line in folded.all():
        expect(line).to_be_hidden()


def test_the_page_is_the_phones_only_scroll(phone: Page, address: str) -> None:
    """W12 on a phone: no box within scrolls; down the page every place comes once, in order."""
    grid = phone.get_by_role("grid")
    assert grid.evaluate("g => g.scrollHeight <= g.clientHeight + 1")
    expected, seen = codes_listed(address), {}
    total = int(phone.evaluate("document.documentElement.scrollHeight"))
    for top in range(0, total, 400):
        phone.evaluate(
            "top => new Promise(done => { scrollTo(0, top); setTimeout(done, 40); })", top
        )
        seen |= codes_shown(phone)
    assert [seen[index] for index in sorted(seen)] == expected
    assert grid.get_attribute("aria-rowcount") == str(len(expected) + 2)
    assert phone.locator(ROWS).count() < 60


def test_the_sheet_leaves_the_map_with_the_site_in_its_middle(phone: Page) -> None:
    """From far down the list: map and pin above the sheet; closed, the page is where it was."""
    phone.evaluate("scrollTo(0, 3000)")
    phone.wait_for_timeout(100)
    row = phone.locator(ROWS).nth(12)
    row.click()
    phone.locator(".why-chart").wait_for()
    before = phone.locator(".map").bounding_box()
    sheet, pin = phone.locator(".why").bounding_box(), phone.locator(".pin-ring").bounding_box()
    assert before is not None
    assert sheet is not None
    assert pin is not None
    assert before["y"] >= -1
    assert before["y"] + before["height"] <= sheet["y"] + 1
    away = abs(pin["x"] + pin["width"] / 2 - before["x"] - before["width"] / 2)
    assert away < before["width"] / 4
    phone.get_by_role("button", name="Close").click()
    assert abs(phone.evaluate("scrollY") - 3000) < 60


def test_a_drawer_opens_in_view_below_the_head_line(phone: Page) -> None:
    """With a slider in sight the sentence it changes is in sight too."""
    phone.get_by_role("button", name="Weights and budget").click()
    expect(phone.get_by_role("slider").first).to_be_in_viewport(ratio=1)
    expect(phone.get_by_role("slider", name="Budget")).to_be_in_viewport(ratio=1)
    expect(phone.locator("h1")).to_be_in_viewport(ratio=0.9)


@pytest.mark.parametrize("size", DESKS)
def test_a_projector_keeps_the_map(browser: Browser, address: str, size: dict[str, int]) -> None:
    """The map has 45 % of the width at least, its signs and rivers grow, the legend is whole."""
    for page in watched(browser, address, size):
        before = pin_width(page)
        view(page, theme="projector")
        page.get_by_role("button", name="View", exact=True).click()
        page.wait_for_timeout(300)
        box = page.locator(".map").bounding_box()
        assert box is not None
        assert box["width"] >= 0.45 * size["width"]
        assert pin_width(page) > 1.4 * before
        legend = page.locator(".legend")
        assert legend.evaluate("l => l.scrollWidth <= l.clientWidth")
        beyond = "l => [...l.querySelectorAll('*')].filter(e => e.getBoundingClientRect().right"
        assert legend.evaluate(f"{beyond} > l.getBoundingClientRect().right).length") == 0
        grid = page.get_by_role("grid")
        assert grid.evaluate("g => g.scrollWidth <= g.clientWidth")


def pin_width(page: Page) -> float:
    """Of the disc of the row pointed at, CSS pixels."""
    page.locator(ROWS).first.hover()
    disc = page.locator(".pin-hovered .disc")
    width: float = disc.evaluate("d => parseFloat(d.style.width)")
    page.mouse.move(0, 0)
    return width


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_beside_the_panel_no_column_is_cut(browser: Browser, address: str, theme: str) -> None:
    """Columns of the list stand whole beside the open panel, or not at all."""
    for size in ({"width": 1100, "height": 800}, *DESKS):
        for page in watched(browser, address, size):
            view(page, theme=theme)
            page.keyboard.press("Escape")
            page.locator(ROWS).first.click()
            panel = page.locator(".why").bounding_box()
            assert panel is not None
            right = "cells => cells.map(c => c.getBoundingClientRect().right)"
            ends = page.locator(f"{ROWS} .cell:visible").evaluate_all(right)
            assert max(ends) <= panel["x"] + 1
            cut = "cells => cells.filter(c => c.scrollWidth > c.clientWidth + 1).length"
            assert page.locator(f"{ROWS} .cell:visible").evaluate_all(cut) == 0
