"""Cases as they are shown: on older data, at every size and theme, and where there are none."""

from __future__ import annotations

from pathlib import Path
from uuid import uuid4

import httpx
import pytest
from playwright.sync_api import Browser, expect

from tests.journeys.at_work import at_work
from tests.journeys.test_cases import drawer, inside_of, saved
from tests.journeys.test_fund import LISTED, above_the_line
from tests.journeys.test_map import DESK, PHONE, assert_axe_silent, watched

WIDE, NARROW = {"width": 1920, "height": 1080}, {"width": 320, "height": 640}


@pytest.mark.long
def test_a_case_on_older_data_keeps_its_numbers_and_says_so(
    browser: Browser, tmp_path: Path
) -> None:
    """After the data changed the case shows what it showed, with a way to the present data."""
    with at_work(tmp_path) as address:
        made = saved(address, "Before the gauge was read")
        code = next(iter(inside_of(made)))
        cell = httpx.get(f"{address}/api/rows/offtakes/{code}").json()["cells"]["status"]
        change = {"table": "offtakes", "key": code, "column": "status", "old": cell}
        edit = {"id": str(uuid4()), "why": "it was built", "changes": [{**change, "new": "built"}]}
        httpx.post(f"{address}/api/edits", json=edit, timeout=60).raise_for_status()
        told = httpx.get(f"{address}/api/edition").json()
        while told["working_out"]:
            query = {"since": told["edition"], "wait_s": 10}
            told = httpx.get(f"{address}/api/edition", params=query, timeout=60).json()
        assert told["data_version"] != made["data_version"]
        for page in watched(browser, f"{address}/?case={made['id']}", DESK):
            expect(page.locator(".case-banner")).to_contain_text("older than the present")
            expect(page.locator(".stamp dd").first).to_have_text(made["data_version"])
            assert above_the_line(page.evaluate(LISTED)) == inside_of(made)
            assert_axe_silent(page)
            page.get_by_role("link", name="Show the present data").click()
            expect(page.locator(".stamp dd").first).to_have_text(told["data_version"])
            expect(page.locator(".case-banner")).to_have_count(0)
            assert code not in above_the_line(page.evaluate(LISTED))
            cases = drawer(page)
            expect(cases.get_by_role("listitem").first).to_contain_text("older than the present")


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        (DESK, "projector"),
        (PHONE, "light"),
        (WIDE, "projector"),
        (NARROW, "light"),
        pytest.param(DESK, "light", marks=pytest.mark.long),
        pytest.param(PHONE, "projector", marks=pytest.mark.long),
        pytest.param(WIDE, "light", marks=pytest.mark.long),
        pytest.param(NARROW, "projector", marks=pytest.mark.long),
    ],
)
def test_cases_fit_and_axe_finds_nothing(
    browser: Browser, work_address: str, size: dict[str, int], theme: str
) -> None:
    """W13, W15: held, tried on a copy and with the drawer open, at every size, in both themes."""
    made = saved(work_address, f"Looked at {theme} {size['width']}", shared=True)
    look = "#t=projector" if theme == "projector" else ""
    for page in watched(browser, f"{work_address}/?case={made['id']}{look}", size):
        for step in ("held", "tried", "drawer"):
            if step == "tried":
                page.get_by_role("button", name="Try a change").click()
            if step == "drawer":
                opened = drawer(page)
                wider = "e => e.scrollWidth > e.clientWidth"
                assert not opened.locator(".cases-body").evaluate(wider)
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
            assert_axe_silent(page)


def test_no_case_by_that_id_is_said(browser: Browser, work_address: str) -> None:
    """A link to a case that is not there says so plainly."""
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    page.goto(f"{work_address}/?case={uuid4()}")
    expect(page.get_by_role("alert")).to_contain_text("no case")
    context.close()


def test_read_from_a_file_there_are_no_cases(browser: Browser, address: str) -> None:
    """Where nothing can be kept, nothing is offered."""
    for page in watched(browser, address, DESK):
        expect(page.get_by_role("button", name="Cases", exact=True)).to_have_count(0)
        page.keyboard.press("c")
        expect(page.get_by_role("dialog")).to_have_count(0)
