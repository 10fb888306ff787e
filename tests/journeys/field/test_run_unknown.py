"""A run the service no longer knows can be taken off the phone; what was not sent is a file."""

from __future__ import annotations

import json
from pathlib import Path
from uuid import uuid4

from playwright.sync_api import Browser, Route, expect

from tests.journeys.field.at_bank import (
    Run,
    assert_badge_true,
    go_on,
    open_stop,
    phone,
    press,
    take_offline,
    type_number,
)


def test_a_run_the_service_does_not_know_goes_and_its_unsent_notes_are_a_file(
    browser: Browser, run: Run, tmp_path: Path
) -> None:
    """A backup from before it was put back: the run goes, its notes are saved and stay too."""

    def asked_of_another(route: Route) -> None:
        route.continue_(url=route.request.url.replace(run.id, str(uuid4())))

    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.route("**/api/notes*", lambda route: route.abort())
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        press(page, "power", "no")
        go_on(page)
        page.goto(run.at())
        page.route("**/pack", asked_of_another)
        page.get_by_role("button", name="Take it off this phone").click()
        page.get_by_role("button", name="Yes, take it off; my notes stay").click()
        part = page.locator(".leave-part")
        expect(part).to_contain_text("has no such run for you any more")
        expect(part).to_contain_text("2 notes of it are not yet sent")
        with page.expect_download() as saving:
            page.get_by_role("button", name="Save 2 unsent notes as a file").click()
        expect(part).to_contain_text("2 notes saved as slackwater-notes-")
        saving.value.save_as(tmp_path / "notes.json")
        page.get_by_role("button", name="Take the run off; its notes stay here too").click()
        expect(page.locator("h1")).to_have_text("My runs")
        expect(page.get_by_role("link", name="Open", exact=True)).to_have_count(0)
        assert len(assert_badge_true(page)["notes"]) == 2
    saved = json.loads((tmp_path / "notes.json").read_text("utf-8"))["notes"]
    assert {(each["note"]["field"], each["note"]["typed"]) for each in saved} == {
        ("depth_today", "1.9"), ("power", "no")
    }  # fmt: skip
