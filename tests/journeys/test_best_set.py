"""The lead spends a budget on the best set: asked, waited for, stopped, chosen by hand, applied."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.pixels import marks_on_map
from tests.journeys.test_fund import LISTED, above_the_line, by_box, offtakes_of, said_money
from tests.journeys.test_map import DESK, PHONE, ROWS, assert_axe_silent, open_page, watched

SMALL = 400_000
"""A budget whose best set is found soon."""
LONG_MS = 120_000
BEST, SCORE = "Best set", "By score"


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A desk's page with a small budget, watched for errors and foreign requests."""
    for page in watched(browser, address, DESK):
        set_budget(page, SMALL)
        yield page


def set_budget(page: Page, budget: float) -> None:
    """Type a budget into the drawer, which is opened and shut again."""
    drawer = page.get_by_role("button", name="Weights and budget")
    drawer.click()
    by_box(page, "Budget", budget)
    drawer.click()


def show(page: Page, way: str) -> None:
    page.get_by_role("radio", name=way).click()


def settled(page: Page) -> None:
    """Wait until the answer to what is asked now has come."""
    expect(page.locator("h1.stale")).to_have_count(0, timeout=LONG_MS)
    expect(page.locator(".fund-bar .work-bar")).to_be_hidden(timeout=LONG_MS)


def said(page: Page) -> str:
    return page.get_by_role("heading", level=1).inner_text().replace("\u00a0", " ")


def percent(share: float) -> str:
    """As the page says a share: whole from ten per cent on, else two figures."""
    hundredths = 100 * share
    return f"{hundredths:.0f} %" if hundredths >= 10 else f"{hundredths:.1f} %"


def asked(budget: float, **part: Any) -> dict[str, Any]:
    return {
        "budget": budget, "kept_in": {}, "left_out": {}, "district_least": {},
        "district_most": {}, "most_installs": None, "beside": [], **part,
    }  # fmt: skip


def answer_of(address: str, kind: str, body: dict[str, Any]) -> dict[str, Any]:
    """The service's own final answer, asked for without the page."""
    work = httpx.post(f"{address}/api/{kind}", json=body, timeout=60).json()
    while work["state"] == "working":
        work = httpx.get(f"{address}/api/work/{work['id']}?wait_s=2", timeout=60).json()
    assert work["state"] == "done", work
    answer: dict[str, Any] = work["answer"]
    return answer


def open_code(page: Page, code: str) -> None:
    """Open the why panel of an offtake, by its code."""
    page.get_by_role("combobox").fill(code)
    page.get_by_role("option").first.click()
    expect(page.locator(".why-code")).to_have_text(code)


def outside_by_score(page: Page, address: str) -> list[str]:
    """Codes that may be funded and are passed over, in the list's order."""
    offtakes = offtakes_of(address)
    state = dict(zip(offtakes["offtake_id"], offtakes["fund_state"], strict=True))
    listed = page.evaluate(LISTED)
    return [code for code in listed[listed.index(None) + 1 :] if state[code] == 1]


def test_list_map_and_head_show_the_services_best_set(page: Page, address: str) -> None:
    """W1, W4: above the line, inside on the map and in the head stands what the service answers."""
    codes = offtakes_of(address)["offtake_id"]
    show(page, BEST)
    for budget in (SMALL, 520_000):
        set_budget(page, budget)
        settled(page)
        answer = answer_of(address, "best-set", asked(budget))
        inside = {codes[row] for row in answer["rows"]}
        listed = page.evaluate(LISTED)
        assert above_the_line(listed) == inside
        marks = marks_on_map(page)
        assert len(marks) > len(codes) / 4
        dash = {code for code, mark in marks.items() if mark == "dash"}
        assert {code for code, mark in marks.items() if mark == "inside"} == inside & marks.keys()
        assert not dash & inside
        close = answer["close_calls"]
        assert said(page).startswith(
            f"{len(inside)} offtakes, {said_money(sum(answer['costs']))} of "
            f"{said_money(budget)} CDL, avoiding {percent(answer['benefit_share'])} of the loss"
        )
        assert said(page).endswith("no close call" if not close else f"; {len(close)} close call"
                                   + "s" * (len(close) > 1))  # fmt: skip
        expect(page.locator(".fund-bar .work-words")).to_have_text(answer["sentence"])


def test_the_other_way_is_marked_and_what_it_loses_is_said(page: Page) -> None:
    """One way is shown under its name; the other's members have a tick, and its loss is said."""
    by_score = above_the_line(page.evaluate(LISTED))
    show(page, BEST)
    settled(page)
    below = page.locator(".below-glance")
    expect(below).to_contain_text(re.compile(r"^Best set.*The list by score avoids [\d.]+"))
    ticked = page.locator(f"{ROWS}:has(.cell-other:text-is('✓')) .cell-code")
    seen = {text.split("\n")[0] for text in ticked.all_inner_texts()}
    assert seen
    assert seen <= by_score
    show(page, SCORE)
    assert above_the_line(page.evaluate(LISTED)) == by_score
    expect(below).to_contain_text("The best set avoids")


def test_what_rests_on_the_answer_is_stale_until_it_comes(browser: Browser, address: str) -> None:
    """W16: a new budget marks head, line and costs in the same frame and says what is shown."""
    for page in watched(browser, address, DESK):
        set_budget(page, SMALL)
        show(page, BEST)
        settled(page)
        before = page.evaluate(LISTED)
        held: list[Route] = []
        page.route("**/api/best-set", lambda route: held.append(route))  # noqa: B023
        page.get_by_role("button", name="Weights and budget").click()
        budget = page.get_by_role("textbox", name=re.compile("^Budget,"))
        marked = budget.evaluate(
            """box => { box.value = '450,000'; box.dispatchEvent(new Event('change'));
              return ['h1', '.below-glance', '.line-words', '.cell-money', '.legend-marks'].map(
                (part) => document.querySelector(`${part}.stale`) !== null); }"""
        )
        assert marked == [True, True, True, True, True]
        status = page.locator(".fund-bar").get_by_role("status")
        expect(status).to_contain_text("Working out the best set for 450,000")
        expect(status).to_contain_text("shown is still the set for 400,000")
        assert page.evaluate(LISTED) == before
        assert_axe_silent(page)
        page.wait_for_timeout(600)
        held[0].continue_()
        settled(page)
        expect(page.locator(".stale")).to_have_count(0)
        assert "of 450,000 CDL" in said(page)


def test_a_search_shows_its_progress_and_stops_when_told(page: Page) -> None:
    """Progress and a first answer with its gap show; Stop ends the work and keeps what is known."""
    works = Works(page, "best-set", first_set(), done=3, total=8)
    show(page, BEST)
    bar = page.locator(".fund-bar")
    expect(bar.get_by_role("progressbar")).to_have_attribute("value", "3")
    expect(bar.get_by_role("status")).to_contain_text("at most 0.06")
    expect(bar.get_by_role("status")).to_contain_text("still looking")
    assert "2 offtakes" in said(page)
    assert_axe_silent(page)
    bar.get_by_role("button", name="Stop").press("Enter")
    expect(bar.get_by_role("progressbar")).to_be_hidden()
    expect(bar.get_by_role("status")).to_contain_text("the search was stopped")
    expect(bar.get_by_role("button", name="Go on looking")).to_be_focused()
    page.wait_for_timeout(100)
    assert works.stopped == ["w1"]
    assert "2 offtakes" in said(page)


def first_set() -> dict[str, Any]:
    return {
        "budget": float(SMALL), "spent": 300_000.0, "upkeep_per_year": 1.0, "benefit_adults": 10.0,
        "benefit_share": 0.2, "upper_bound_adults": 10.006, "gap": 0.0006, "final": False,
        "rows": [0, 1], "options": [0, 0], "costs": [100_000.0, 200_000.0], "beside": None,
        "price_adults_per_1000": None, "left_out": [], "sentence": "", "close_calls": None,
    }  # fmt: skip


class Works:
    """Work in the test's hand, answered in the service's place; it works on until it is stopped."""

    def __init__(
        self, page: Page, kind: str, answer: dict[str, Any], done: int, total: int,
        state: str = "working",
    ) -> None:  # fmt: skip
        self.stopped: list[str] = []
        self.now = {
            "id": "w1", "kind": kind, "state": state, "done": done, "total": total,
            "answer": answer, "error": None,
        }  # fmt: skip
        page.route(f"**/api/{kind}", lambda route: route.fulfill(status=202, json=self.now))
        page.route("**/api/work/w1*", self._work)

    def _work(self, route: Route) -> None:
        if route.request.method == "DELETE":
            self.stopped.append("w1")
        route.fulfill(json=self.now)


def test_a_hand_choice_needs_a_reason_and_moves_the_best_set(page: Page, address: str) -> None:
    """W9: refused at the field without one; with one the set follows, signs and words say so."""
    show(page, BEST)
    settled(page)
    listed = page.evaluate(LISTED)
    best = above_the_line(listed)
    code = next(code for code in outside_by_score(page, address) if code not in best)
    open_code(page, code)
    page.get_by_role("button", name="Keep in").click()
    field = page.get_by_label("Your reason")
    expect(field).to_be_focused()
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#hand-wrong")).to_contain_text("Write the reason first")
    assert page.locator("h1.stale").count() == 0
    assert_axe_silent(page)
    field.fill("The council asked for it")
    page.get_by_role("button", name="Keep in").click()
    expect(page.locator("h1.stale")).to_have_count(1)
    settled(page)
    assert code in above_the_line(page.evaluate(LISTED))
    row = page.locator(f"{ROWS}[aria-selected=true]")
    expect(row).to_have_attribute("title", "Kept in: The council asked for it")
    expect(row.get_by_role("img")).to_have_attribute("aria-label", re.compile("chosen by hand"))
    expect(page.locator(".why-fund")).to_contain_text("Kept in by hand: The council asked for it")
    expect(page.locator(".legend-marks")).to_contain_text("chosen by hand")
    show(page, SCORE)
    expect(page.locator(".fund-hand").first).to_contain_text("moves the best set alone")
    show(page, BEST)
    page.get_by_role("button", name="Clear choice").click()
    expect(field).to_be_focused()
    settled(page)
    assert above_the_line(page.evaluate(LISTED)) == best


def test_a_choice_the_service_refuses_is_said_at_the_field(browser: Browser, address: str) -> None:
    """What cannot be kept in is taken back, with the reason where it was asked for."""
    offtakes = offtakes_of(address)
    code = offtakes["offtake_id"][offtakes["fund_state"].index(0)]
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    open_page(page, address)
    set_budget(page, SMALL)
    show(page, BEST)
    settled(page)
    shown = said(page)
    open_code(page, code)
    field = page.get_by_label("Your reason")
    field.fill("A promise")
    with page.expect_response("**/api/best-set") as refused:
        page.get_by_role("button", name="Keep in").click()
    assert 400 <= refused.value.status < 500
    expect(page.locator("#hand-wrong")).to_contain_text(code)
    expect(field).to_be_focused()
    expect(field).to_have_value("A promise")
    expect(page.locator("h1.stale")).to_have_count(0)
    assert said(page) == shown
    context.close()


def test_what_would_bring_it_in_by_score_does_so(page: Page, address: str) -> None:
    """W27, by score: the budget that is named, once applied, funds the offtake."""
    outside = outside_by_score(page, address)
    for code in outside[:: max(1, len(outside) // 12)]:
        open_code(page, code)
        page.locator(".why-fund").get_by_role("button", name="Set the budget to").click()
        expect(page.locator(".why-fund h3")).to_have_text("Inside the budget, by score")
        assert code in above_the_line(page.evaluate(LISTED))
        page.locator(".why-fund").get_by_role("button", name="Back to a budget").click()
        expect(page.locator(".why-fund h3")).to_have_text("Outside the budget, by score")


@pytest.mark.long
def test_what_would_bring_it_into_the_best_set_does_so(page: Page, address: str) -> None:
    """W27, best set: the least budget the service finds, once applied, has it in the set."""
    show(page, BEST)
    settled(page)
    best = above_the_line(page.evaluate(LISTED))
    code = next(code for code in outside_by_score(page, address) if code not in best)
    open_code(page, code)
    block = page.locator(".why-fund")
    block.get_by_role("button", name="What would change it?").click()
    apply = block.get_by_role("button", name="Set the budget to")
    apply.click(timeout=LONG_MS)
    settled(page)
    expect(block.locator("h3")).to_have_text("In the best set")
    assert code in above_the_line(page.evaluate(LISTED))


@pytest.mark.long
def test_rules_that_clash_are_named_with_what_they_are_short_by(page: Page) -> None:
    """Conditions no set can meet: the page says which clash and by how much, and shows what was."""
    show(page, BEST)
    settled(page)
    shown = said(page)
    page.keyboard.press("w")
    page.get_by_text("Conditions of the best set").click()
    page.get_by_label("Most installs").fill("2")
    page.get_by_label(re.compile("^Least share")).first.fill("99")
    page.keyboard.press("Enter")
    wrong = page.locator(".fund-bar").get_by_role("alert")
    expect(wrong).to_contain_text("No set meets these rules", timeout=LONG_MS)
    expect(wrong).to_contain_text(re.compile(r"short|more"))
    assert said(page) == shown
    assert_axe_silent(page)
    expect(page.locator(".fund-rules")).to_contain_text("Conditions: at most 2 installs;")
    page.get_by_role("button", name="Clear these conditions").click()
    expect(page.locator(".fund-rules")).to_be_hidden()
    settled(page)
    assert said(page) == shown


def test_the_ways_are_one_stop_for_the_tab_key(page: Page) -> None:
    """Arrow keys lead along the bar; single keys change way and tab, and the help lists them."""
    page.get_by_role("radio", name=SCORE).focus()
    for name in (BEST, "List", "Money and benefit"):
        page.keyboard.press("ArrowRight")
        assert page.evaluate("document.activeElement.textContent") == name
    assert page.locator(".ways [tabindex='0']").count() == 1
    page.keyboard.press("s")
    expect(page.get_by_role("radio", name=BEST)).to_be_checked()
    page.keyboard.press("s")
    page.keyboard.press("?")
    expect(page.get_by_role("dialog", name="Keys")).to_contain_text("by score, or best set")


def test_who_is_not_the_lead_has_one_way(browser: Browser, address: str) -> None:
    """The best set rests on quotes: for others there is neither switch nor tab nor hand choice."""
    for page in watched(browser, f"{address}/?as=agency", DESK):
        assert page.get_by_role("radio").count() == 0
        assert page.get_by_role("tab").count() == 0
        page.locator(ROWS).first.click()
        assert page.get_by_role("button", name="Keep in").count() == 0


@pytest.mark.parametrize("size", [PHONE, {"width": 320, "height": 640}])
@pytest.mark.long
def test_the_best_set_fits_a_narrow_page(
    browser: Browser, address: str, size: dict[str, int]
) -> None:
    """W15, W13: nothing is wider than the page, fingers fit, and axe finds nothing."""
    for page in watched(browser, address, size):
        Works(page, "best-set", {**first_set(), "final": True}, done=8, total=8, state="done")
        show(page, BEST)
        settled(page)
        page.locator(ROWS).first.click()
        assert_axe_silent(page)
        buttons = page.locator(".ways button, .fund-bar button, .why-fund button, .why-fund input")
        for button in buttons.all():
            box = button.bounding_box() if button.is_visible() else None
            assert box is None or box["height"] >= 43.5
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
