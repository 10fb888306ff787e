"""The second tab: what more money would do, most for the money first, and how sure it is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.test_best_set import Works
from tests.journeys.test_map import DESK, PHONE, ROWS, assert_axe_silent, watched

STEPS = 100
MOST = 6_000_000.0


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page whose curve and trials are answered at once."""
    for page in watched(browser, address, DESK):
        answered(page)
        yield page


def answered(page: Page) -> None:
    Works(page, "curve", curve(), done=1, total=1, state="done")
    Works(page, "how-sure", sure(), done=1, total=1, state="done")


def curve() -> dict[str, Any]:
    budgets = [MOST * (at + 1) / STEPS for at in range(STEPS)]
    share = [0.6 * budget / (budget + 1e6) for budget in budgets]
    names = ("By score", "Most larvae taken first", "Largest first", "Gain for the money")
    return {
        "budgets": budgets,
        "best": {
            "benefit_share": share, "upper_share": [each * 1.01 for each in share],
            "gap": [0.01] * STEPS, "count": list(range(STEPS)),
        },
        "others": [
            {"name": str(at), "words": words, "benefit_share": [each / (1 + at) for each in share]}
            for at, words in enumerate(names)
        ],
        "priority": {
            "rows": list(range(12)), "options": [0] * 12,
            "cost": [20_000.0 + row for row in range(12)],
            "adults_per_1000": [12.0 - row for row in range(12)],
        },
    }  # fmt: skip


def sure() -> dict[str, Any]:
    count = 197
    return {
        "trials": 100, "inside": [93] * count, "weightings": 200, "funded": [71] * count,
        "assumed": ["efficacy"], "benefit": {"low": 0.41, "median": 0.5, "high": 0.6},
        "by_year": [{"year": 2010, "benefit_share": 0.4}, {"year": 2011, "benefit_share": 0.5}],
        "sensitivity": [{"input": "encounter", "guild": None, "low_share": 0.4, "high_share": 0.6}],
        "measure": [{"row": 3, "input": "draw", "worth_adults": 5.0, "assumed": True}],
    }  # fmt: skip


def money(page: Page) -> None:
    page.get_by_role("tab", name="Money and benefit").click()
    page.locator("svg.curve").wait_for()


def budget_now(page: Page) -> float:
    return float(
        page.get_by_role("slider", name="Budget on the curve").get_attribute("aria-valuenow") or 0
    )


def test_keys_and_pointer_on_the_curve_set_the_budget(page: Page) -> None:
    """A step by keys, a place by the pointer: head and curve say what it gives."""
    money(page)
    slider = page.get_by_role("slider", name="Budget on the curve")
    before = budget_now(page)
    slider.press("ArrowRight")
    step = budget_now(page) - before
    assert step > 0
    expect(slider).to_have_attribute("aria-valuetext", re.compile("best set avoids about"))
    box = slider.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    chosen = budget_now(page)
    assert chosen % step == pytest.approx(0)
    assert 0.4 * MOST < chosen < 0.6 * MOST
    head = page.get_by_role("heading", level=1)
    expect(head).to_contain_text(f"of {chosen / 1e6:.2f}")


def test_the_curve_is_a_table_as_well(page: Page) -> None:
    """W12: every budget of the curve stands in a table: best set, its bound and the others."""
    money(page)
    page.locator(".why-curve > details summary").click()
    table = page.get_by_role("table", name="Share of the loss to pumps avoided, by budget")
    expect(table.get_by_role("row")).to_have_count(STEPS + 1)
    cells = table.get_by_role("row").nth(1).get_by_role("cell").all_inner_texts()
    told = curve()
    first = told["best"]["benefit_share"][0] * 100
    assert cells[:3] == [f"{first:.2f}", f"{first * 1.01:.2f}", "0"]
    assert len(cells) == 3 + len(told["others"])


def test_how_sure_shows_in_panel_and_list(page: Page) -> None:
    """Run on demand; "in 93 of 100 trials" in the why panel and, where chosen, in the list."""
    money(page)
    page.locator(".why-sure").get_by_role("button", name="Work it out").click()
    expect(page.locator(".sure")).to_contain_text("avoids 41")
    expect(page.get_by_role("table", name="What to measure first")).to_contain_text(
        "draw (assumed)"
    )
    assert_axe_silent(page)
    page.get_by_label("Show it in the list").check()
    page.get_by_role("tab", name="List").click()
    head = page.get_by_role("columnheader", name=re.compile("Inside"))
    expect(head).to_contain_text("of 100 trials")
    expect(page.locator(f"{ROWS} .cell-capacity").first).to_have_text("93")
    page.locator(ROWS).first.click()
    expect(page.locator(".why-fund")).to_contain_text("in 93 of 100 trials of the data")
    expect(page.locator(".why-fund")).to_contain_text("under 71 of 200 weightings")


def test_a_code_of_the_priority_list_opens_its_why(page: Page) -> None:
    """The short list leads to each offtake, and is longer when asked."""
    money(page)
    short = page.get_by_role("table", name="Offtakes by gain for the money")
    rows = short.get_by_role("row").count()
    page.get_by_role("button", name="Show more").click()
    assert short.get_by_role("row").count() > rows
    first = short.get_by_role("button").first
    code = first.inner_text()
    first.click()
    expect(page.locator(".why-code")).to_have_text(code)


@pytest.mark.parametrize("theme", ["light", "projector"])
@pytest.mark.parametrize("size", [DESK, PHONE, {"width": 320, "height": 640}])
def test_the_tab_stands_in_every_size_and_theme(
    browser: Browser, address: str, size: dict[str, int], theme: str
) -> None:
    """W13, W15: axe finds nothing, and nothing makes the page scroll sideways."""
    for page in watched(browser, address, size):
        answered(page)
        if theme == "projector":
            page.keyboard.press("t")
        money(page)
        page.locator(".why-sure").get_by_role("button", name="Work it out").click()
        page.locator(".sure-part").first.wait_for()
        page.locator(".why-curve > details summary").click()
        assert_axe_silent(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
