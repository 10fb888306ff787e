"""Cases: saved, shared, opened inert, tried on a copy, compared, printed; on their own data."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any
from uuid import uuid4

import httpx
import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.journeys.test_best_set import LONG_MS, answer_of, said, settled
from tests.journeys.test_fund import LISTED, above_the_line, box
from tests.journeys.test_map import DESK, PHONE, ROWS, assert_axe_silent, watched

BUDGET = 700_000.0
REST_MS = 400


@pytest.fixture
def page(browser: Browser, work_address: str) -> Iterator[Page]:
    """A desk's page on a database, watched for errors and foreign requests."""
    yield from watched(browser, work_address, DESK)


def trial(address: str, **part: Any) -> dict[str, Any]:
    """What is tried, as the page opens, but for some of it."""
    weights = httpx.get(f"{address}/api/catchment").json()["weights"]
    return {
        "weights": weights, "budget": BUDGET, "way": "score", "kept_in": {}, "left_out": {},
        "district_least": {}, "district_most": {}, "most_installs": None, "together": [],
        "unit": "ML/d", "year": "mean", "guild": "all", "selected": "", **part,
    }  # fmt: skip


def saved(address: str, name: str, shared: bool = False, **part: Any) -> dict[str, Any]:
    """A case that was saved through the service."""
    body = {"id": str(uuid4()), "name": name, "trial": trial(address, **part)}
    made = answer_of(address, "cases", body)
    if shared:
        httpx.post(f"{address}/api/cases/{made['id']}/share").raise_for_status()
    return made


def inside_of(made: dict[str, Any]) -> set[str]:
    return {row["code"] for row in made["result"]["rows"] if row["state"] == "inside"}


def drawer(page: Page) -> Locator:
    """The cases, opened."""
    page.get_by_role("button", name="Cases", exact=True).click()
    opened = page.get_by_role("dialog", name="Cases")
    expect(opened.get_by_role("list", name="Saved cases")).not_to_be_empty()
    return opened


def type_budget(page: Page, budget: float) -> None:
    """Type a budget with the drawer opened and shut again by keys."""
    page.keyboard.press("w")
    box(page, "Budget").fill(str(budget))
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")


def to_the_top(page: Page) -> None:
    """Scroll the list back to where it begins."""
    page.get_by_role("grid").evaluate(
        "grid => { grid.scrollTop = 0; grid.dispatchEvent(new Event('scroll')); }"
    )


def test_what_is_tried_is_saved_listed_and_opened_by_its_link(
    browser: Browser, work_address: str
) -> None:
    """A saved case, opened in another browser by its link alone, shows list and head as saved."""
    for page in watched(browser, work_address, DESK):
        type_budget(page, 654_300)
        page.keyboard.press("u")
        page.locator(f"{ROWS} .cell-code").nth(1).click()
        code = page.locator(".why-code").inner_text()
        head, listed = said(page), page.evaluate(LISTED)
        cases = drawer(page)
        cases.get_by_role("textbox", name="Name").fill("Wick <b>& co</b>")
        cases.get_by_role("textbox", name="Note").fill("=SUM(A1) said the board")
        cases.get_by_role("button", name="Save", exact=True).click()
        expect(cases.get_by_role("status").first).to_have_text("Wick <b>& co</b> is saved.")
        item = cases.get_by_role("listitem").filter(has=page.get_by_role("heading"))
        expect(item.first).to_contain_text("=SUM(A1) said the board")
        assert_axe_silent(page)
        glance = item.first.inner_text().replace("\u00a0", " ")
        link = item.first.get_by_role("link", name=re.compile("^Open")).get_attribute("href")
    assert link
    for other in watched(browser, link, DESK):
        expect(other.locator(".case-banner")).to_contain_text("Wick <b>& co</b>: it does not move")
        expect(other.locator(".why-code")).to_have_text(code)
        own = re.search(r"avoiding (\S+ %) of", said(other))
        assert own
        assert f"{own[1]} of the loss avoided" in glance
        assert said(other) == re.sub(r"at least \S+ %", own[1], head)
        assert other.evaluate(LISTED) == listed
        brief = other.locator(".why-brief").get_by_role("link", name=f"Private brief for {code}")
        case_id = link.split("case=")[1].split("#")[0]
        expect(brief).to_have_attribute(
            "href", f"/print/landholder/{case_id}/{code}?version=private"
        )
        other.keyboard.press("v")
        expect(other.locator("select[name=unit]")).to_have_value("L/s")


def test_an_open_case_does_not_move_until_a_change_is_tried(
    browser: Browser, work_address: str
) -> None:
    """W6: by no control, key or link; then it is a trial on a copy, and the case is as it was."""
    made = saved(work_address, "Held fast", shared=True)
    address = f"{work_address}/?case={made['id']}"
    for page in watched(browser, f"{address}#w=risk:1000&b=5&way=best&in=LN-001", DESK):
        before = said(page), page.evaluate(LISTED)
        assert above_the_line(before[1]) == inside_of(made)
        for key in ("s", "w", "Control+z", "Control+Shift+z"):
            page.keyboard.press(key)
        drawn = page.locator(".drawer-weights")
        for control in drawn.locator("input, .dial-button").all():
            expect(control).to_be_disabled()
        drawn.locator("input[type=range]").evaluate_all(
            "all => all.forEach((each) => { each.disabled = false; each.value = 1;"
            " each.dispatchEvent(new Event('input', { bubbles: true })); })"
        )
        page.get_by_role("radio", name="Best set").evaluate("button => button.click()")
        page.locator(f"{ROWS} .cell-code").first.click()
        expect(page.locator(".hand-buttons")).to_be_hidden()
        expect(page.locator(".why-fund")).to_contain_text("A case does not move")
        expect(page.get_by_role("button", name="Set the budget to")).to_have_count(0)
        settled(page)
        assert (said(page), page.evaluate(LISTED)) == before
        for key in ("y", "u", "t"):  # views stay free
            page.keyboard.press(key)
        expect(page.locator(".view-note")).to_contain_text("in dry years")
        assert page.evaluate("document.documentElement.dataset.theme") == "projector"
        for key in ("t", "u", "u", "u", "y", "y", "y"):
            page.keyboard.press(key)
        page.get_by_role("button", name="Try a change").press("Enter")
        expect(page.locator(".case-banner")).to_contain_text("A trial on a copy of Held fast")
        expect(page.get_by_role("button", name="Back to the case")).to_be_focused()
        box(page, "Budget").fill("400000")
        page.keyboard.press("Enter")
        assert "of 400,000 CDL" in said(page)
        page.wait_for_timeout(REST_MS)
        page.reload()
        page.locator(ROWS).first.wait_for()
        assert "of 400,000 CDL" in said(page)
        page.get_by_role("button", name="Back to the case").click()
        assert (said(page), page.evaluate(LISTED)) == before
    again = httpx.get(f"{work_address}/api/cases/{made['id']}").json()
    assert again["trial"] == made["trial"]
    assert again["result"] == made["result"]


def test_a_trial_on_a_copy_is_saved_as_a_case_of_its_own(
    browser: Browser, work_address: str
) -> None:
    """The new case says what it was copied from; printing asks to save first."""
    made = saved(work_address, "First thought")
    for page in watched(browser, f"{work_address}/?case={made['id']}", DESK):
        page.get_by_role("button", name="Try a change").click()
        type_budget(page, 432_100)
        cases = drawer(page)
        first = cases.get_by_role("group", name="Save this first, then print")
        first.get_by_role("button", name=re.compile("^Fund page")).click()
        name = cases.get_by_role("textbox", name="Name")
        expect(name).to_be_focused()
        cases.get_by_role("button", name="Save", exact=True).click()
        expect(cases.get_by_role("alert").first).to_have_text("Give it a name first.")
        assert_axe_silent(page)
        name.fill("Second thought")
        page.keyboard.press("Enter")
        papers = cases.get_by_role("list", name="Papers and files of what is tried now")
        expect(papers.get_by_role("link")).to_have_count(4, timeout=LONG_MS)
        page.keyboard.press("Escape")
        banner = page.locator(".case-banner")
        expect(banner).to_contain_text("Case Second thought: it does not move")
        assert "432,100" in said(page)
        page.get_by_role("button", name="Try a change").click()
        expect(banner).to_contain_text("A trial on a copy of Second thought")
        type_budget(page, 500_000)
        page.get_by_role("button", name="Back to the case").click()
        assert "432,100" in said(page)
        page.wait_for_timeout(REST_MS)
        page.reload()
        expect(banner).to_contain_text("Case Second thought: it does not move")
    listed = httpx.get(f"{work_address}/api/cases").json()["cases"]
    second = next(each for each in listed if each["name"] == "Second thought")
    assert (second["copied_from"], second["budget"]) == (made["id"], 432_100)


def test_papers_and_files_lead_to_the_saved_case(page: Page, work_address: str) -> None:
    """What is tried and saved already is known again after a reload, its papers are linked."""
    made = saved(work_address, "Known again", budget=611_000.0)
    code = httpx.get(f"{work_address}/api/offtakes").json()["offtake_id"][0]
    type_budget(page, 611_000)
    page.get_by_role("combobox").fill(code)
    page.keyboard.press("Enter")
    page.wait_for_timeout(REST_MS)
    page.reload()
    page.locator(ROWS).first.wait_for()
    expect(page.locator(".why-code")).to_have_text(code)
    cases = drawer(page)
    papers = cases.get_by_role("list", name="Papers and files of what is tried now")
    at = [link.get_attribute("href") for link in papers.get_by_role("link").all()]
    brief = f"/print/landholder/{made['id']}/{code}?version="
    assert at == [
        f"/print/fund/{made['id']}",
        f"/print/board/{made['id']}",
        f"/files/{made['id']}.xlsx",
        f"/files/{made['id']}.html",
        f"{brief}private",
        f"{brief}public",
    ]
    assert all(
        link.get_attribute("target") == "_blank" for link in papers.get_by_role("link").all()
    )


def test_only_what_nobody_was_given_can_be_deleted(browser: Browser, work_address: str) -> None:
    """Sharing copies the link and is for good; deleting asks once more."""
    for name in ("Given away", "Thrown away"):
        saved(work_address, name)
    for page in watched(browser, work_address, DESK):
        page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        cases = drawer(page)
        cases.get_by_role("button", name="Share Given away").press("Enter")
        expect(cases).to_contain_text("never changes and cannot be deleted")
        yes = cases.get_by_role("button", name="Share and copy the link: Given away")
        expect(yes).to_be_focused()
        assert_axe_silent(page)
        yes.click()
        expect(cases.get_by_role("status").first).to_contain_text("Given away is shared")
        given = httpx.get(f"{work_address}/api/cases").json()["cases"]
        shared = next(each for each in given if each["name"] == "Given away")
        link = page.evaluate("navigator.clipboard.readText()")
        assert link == f"{work_address}/?case={shared['id']}"
        expect(cases.get_by_role("button", name="Delete Given away")).to_have_count(0)
        expect(cases.get_by_role("button", name="Copy the link to Given away")).to_be_visible()
        cases.get_by_role("button", name="Delete Thrown away").click()
        cases.get_by_role("button", name="Not now: Thrown away").click()
        cases.get_by_role("button", name="Delete Thrown away").click()
        cases.get_by_role("button", name="Delete: Thrown away").click()
        expect(cases.get_by_role("status").first).to_have_text("Thrown away is deleted.")
        expect(cases.get_by_role("heading", name="Thrown away")).to_have_count(0)


def test_two_cases_side_by_side_tell_who_enters_and_who_leaves(
    browser: Browser, work_address: str
) -> None:
    """Codes that come in and go out are those of the two results; on a phone one under another."""
    one = saved(
        work_address, "Compared, before", weights={"risk": 600, "overlap": 100, "cost": 300}
    )
    other = saved(
        work_address, "Compared, after", weights={"risk": 100, "overlap": 800, "cost": 100}
    )
    before, after = inside_of(one), inside_of(other)
    assert before - after
    assert after - before
    for size in (DESK, PHONE):
        for page in watched(browser, work_address, size):
            cases = drawer(page)
            for name in ("Compared, after", "Compared, before"):
                cases.get_by_role("checkbox", name=f"Compare {name}").check()
            cases.get_by_role("button", name="Compare the two ticked").click()
            heading = cases.get_by_role("heading", name="From Compared, before to Compared, after")
            expect(heading).to_be_focused()
            leaves, enters = cases.locator(".compared-moved").all()
            assert set(leaves.locator("tbody th").all_inner_texts()) == before - after
            assert set(enters.locator("tbody th").all_inner_texts()) == after - before
            assert all(enters.locator("tbody td:last-child").all_inner_texts())
            expect(cases.locator(".compared-changed")).to_contain_text("eight")
            left, right = leaves.bounding_box(), enters.bounding_box()
            assert left is not None
            assert right is not None
            beside = right["x"] >= left["x"] + left["width"]
            assert beside == (size == DESK)
            assert_axe_silent(page)


def test_reasons_travel_with_the_case(browser: Browser, work_address: str) -> None:
    """W9: opened by its link, a case brings its reasons; so does a link on a trial on its copy."""
    listed = httpx.get(f"{work_address}/api/offtakes").json()
    state = dict(zip(listed["offtake_id"], listed["fund_state"], strict=True))
    code = next(code for code in reversed(listed["offtake_id"]) if state[code] == 1)
    reason = "Agreed with the council"
    made = saved(
        work_address, "With a reason", way="best", budget=300_000.0, kept_in={code: reason}
    )
    for page in watched(browser, f"{work_address}/?case={made['id']}#at={code}", DESK):
        settled(page)
        expect(page.locator(".hand-made")).to_contain_text(f"Kept in by hand: {reason}")
        expect(page.get_by_role("button", name="Clear choice")).to_be_hidden()
        page.get_by_role("button", name="Close", exact=True).click()
        to_the_top(page)
        assert above_the_line(page.evaluate(LISTED)) == inside_of(made)
        page.wait_for_timeout(REST_MS)
        page.go_back()
        expect(page.locator(".why")).to_be_visible()
        page.get_by_role("button", name="Try a change").click()
        type_budget(page, 310_000)
        page.wait_for_timeout(REST_MS)
        link = page.url
    assert reason.split()[-1] not in link
    for other in watched(browser, link, DESK):
        expect(other.locator(".hand-made")).to_contain_text(f"Kept in by hand: {reason}")
        expect(other.locator(".link-waiting")).to_be_hidden()
