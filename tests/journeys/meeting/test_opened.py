"""A meeting opened from the cases of the map page, by the lead."""

from __future__ import annotations

import re
from pathlib import Path

import httpx
from playwright.sync_api import Browser, expect

from tests.journeys.meeting.at_desk import LAPTOP
from tests.journeys.meeting.served import a_working, serving_meetings, shared_case
from tests.journeys.test_cases import drawer
from tests.journeys.test_map import PHONE, assert_axe_silent, watched

NAME = "Hall of the lower river"
ODD = 'The "old" $(mill)'


def test_a_lead_opens_a_meeting_on_a_shared_case_and_ends_it(
    browser: Browser, tmp_path: Path
) -> None:
    """Hours are checked at the field; the key is shown once; the pages open with it; it ends."""
    with a_working(tmp_path) as working, serving_meetings(working) as (address, _):
        shared_case(working, 60_000.0, name=NAME)
        for page in watched(browser, address, LAPTOP):
            cases = drawer(page)
            cases.locator("summary", has_text=re.compile("^Meeting")).click()
            cases.get_by_label("Hours, at most").fill("25")
            go = cases.get_by_role("button", name=f"Open a meeting on {NAME}")
            go.press("Enter")
            expect(cases.get_by_text("From 1 to 24 hours, as a whole number.")).to_be_visible()
            cases.get_by_label("Hours, at most").fill("2")
            page.keyboard.press("Enter")
            lead = cases.get_by_role("link", name="Open the facilitator’s page")
            expect(lead).to_be_focused(timeout=30_000)
            expect(cases.get_by_label("Phones join at")).to_have_value(re.compile(f"^{address}/"))
            code = cases.locator(".meeting-code").inner_text().replace("\u00a0", "")
            given = cases.get_by_label("Facilitator’s page, with its key").input_value()
            assert re.fullmatch(rf"{address}/meet/{code}/lead#[\w-]{{43}}", given)
            assert_axe_silent(page)
            with page.context.expect_page() as opened:
                page.keyboard.press("Enter")
            expect(opened.value.get_by_role("heading", name=NAME)).to_be_visible()
            opened.value.close()
            wall = cases.get_by_role("link", name="Open the wall").get_attribute("href")
            assert wall == given.replace("/lead#", "/wall#")
            page.reload()
            cases = drawer(page)
            cases.locator("summary", has_text=re.compile("^Meeting")).click()
            listed = cases.get_by_role("list", name=f"Meetings on {NAME}")
            expect(listed).to_contain_text("open until")
            expect(cases.locator(".meeting-code")).to_have_count(0)
            listed.get_by_role("button", name=re.compile("^End meeting")).click()
            listed.get_by_role("button", name=re.compile("^End it: meeting")).click()
            expect(listed.get_by_role("link", name=re.compile("^Minutes of"))).to_have_attribute(
                "href", f"/meet/{code}/minutes"
            )
        assert httpx.get(f"{address}/api/meet/{code}").status_code == 404


def test_where_phones_cannot_reach_the_service_it_says_how_they_can(
    browser: Browser, tmp_path: Path
) -> None:
    """The command names the case; a name that a shell would take for more gives way to the id."""
    with a_working(tmp_path) as working, serving_meetings(working) as (address, app):
        app.state.meeting_door = type(app.state.meeting_door)("")
        ids = {name: shared_case(working, 60_000.0, name=name) for name in (NAME, ODD)}
        for page in watched(browser, address, PHONE):
            cases = drawer(page)
            for name, said in ((NAME, NAME), (ODD, ids[ODD])):
                item = cases.locator(f"[data-case='{ids[name]}']")
                item.locator("summary", has_text=re.compile("^Meeting")).click()
                item.get_by_role("button", name=re.compile("^Open a meeting")).click()
                command = item.get_by_label("Command on that laptop")
                expect(command).to_have_value(
                    f'slackwater meet "{said}" --open-to-network', timeout=30_000
                )
            for control in cases.locator(".case-meeting").first.locator(
                "summary, button, input, .strip-button"
            ).all():  # fmt: skip
                box = control.bounding_box()
                assert box is not None
                assert box["height"] >= 43.5, control.evaluate("each => each.outerHTML")
            assert cases.evaluate("each => each.scrollWidth <= each.clientWidth")
