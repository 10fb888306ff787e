"""The fund task on a machine four times slower: from a link to the printed page."""

from __future__ import annotations

import re

import httpx
import pytest
from playwright.sync_api import Browser, expect

from tests.journeys.test_best_set import LONG_MS
from tests.journeys.test_cases import saved
from tests.journeys.test_fund import LISTED, above_the_line
from tests.journeys.test_keyboard import fundable
from tests.journeys.test_map import DESK, ROWS, watched

SLOWER = 4


@pytest.mark.long
def test_from_a_link_to_the_printed_page_on_a_slow_machine(
    browser: Browser, work_address: str
) -> None:
    """A colleague's case is opened by its link, changed, saved anew and printed; the paper holds
    the codes that the list shows inside."""
    code = fundable(work_address)
    case = saved(work_address, "As sent by link")
    for page in watched(browser, f"{work_address}/?case={case['id']}#at={code}", DESK):
        slow = page.context.new_cdp_session(page)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.reload()
        expect(page.locator(".why-code")).to_have_text(code, timeout=LONG_MS)
        page.get_by_role("button", name="Try a change").click()
        page.get_by_role("radio", name="Best set").click()
        expect(page.locator("h1.stale")).to_have_count(0, timeout=LONG_MS)
        page.get_by_role("button", name="Save as a new case").click()
        cases = page.get_by_role("dialog", name="Cases")
        cases.get_by_label("Name").fill("On a slow machine")
        page.keyboard.press("Enter")
        expect(cases.get_by_role("status").first).to_contain_text("is saved", timeout=LONG_MS)
        papers = cases.get_by_role("list", name="Papers and files of what is tried now")
        with page.context.expect_page() as opened:
            papers.get_by_role("link", name="Fund page").click()
        paper = opened.value
        expect(paper.get_by_role("heading", level=1)).to_have_text("On a slow machine")
        above = paper.locator("table").first.inner_text().split("Best set ends here")[0]
        paper.close()
        page.keyboard.press("Escape")
        slow.send("Emulation.setCPUThrottlingRate", {"rate": 1})  # the reader below scrolls fast
        page.get_by_role("grid").evaluate("grid => { grid.scrollTop = 0; }")
        expect(page.locator(ROWS).first).to_have_attribute("aria-rowindex", "2")
        inside = above_the_line(page.evaluate(LISTED))
        assert set(re.findall(r"LN-\d+", above)) == inside
        assert len(inside) > 5
    names = {each["name"] for each in httpx.get(f"{work_address}/api/cases").json()["cases"]}
    assert {"As sent by link", "On a slow machine"} <= names
