"""Cautions come first, a slip is asked about, and what needs a connection says so without one."""

from __future__ import annotations

from uuid import uuid4

import httpx
from playwright.sync_api import Browser, expect

from tests.journeys.field.at_bank import (
    Run,
    go_on,
    open_stop,
    phone,
    run_asked,
    take_offline,
    type_number,
)


def run_of_two_days(run: Run) -> Run:
    """The same stops, one on the second day, for an officer."""
    asked = run_asked(run.codes, "Kim Marsh")
    stops = asked["days"][0]["stops"]
    asked |= {"id": str(uuid4()), "days": [{"stops": stops[:2]}, {"stops": stops[2:]}]}
    httpx.post(f"{run.address}/api/runs", json=asked, timeout=60).raise_for_status()
    return Run(run.address, asked["id"], run.codes)


def test_cautions_come_first_and_not_safe_is_a_result(browser: Browser, run: Run) -> None:
    """Their first line is in sight at the top of a run; one tap says that it was not safe."""
    with phone(browser, run.address) as page:
        page.goto(run.at())
        first = page.locator(".before summary")
        expect(first).to_be_in_viewport(ratio=1)
        expect(first).to_contain_text("If it does not look safe, do not go on")
        expect(page.locator(".before li").first).to_be_hidden()
        first.click()
        expect(page.locator(".before li").first).to_be_visible()
        open_stop(page, run)
        page.get_by_text("Could not get in").first.click()
        page.get_by_role("button", name="Not safe").click()
        expect(page.locator("#f-no_entry")).to_have_value("Not safe")


def test_a_slip_is_asked_about_and_nothing_is_carried_over(browser: Browser, run: Run) -> None:
    """Depths are in m at each stop, a plate's unit is chosen; a fault's stop and field are told."""
    two = run_of_two_days(run)
    with phone(browser, run.address) as page:
        open_stop(page, two)
        depth = page.locator("[data-field=depth_today]")
        expect(page.locator(".by-line")).to_contain_text("Notes are by Kim Marsh - change")
        type_number(page, "depth_today", "31")
        expect(depth.locator(".far")).to_contain_text("is that right?")
        type_number(page, "depth_today", "190", "cm")
        type_number(page, "plate_capacity", "250", "L/s")
        type_number(page, "depth_low", "1,250")
        go_on(page)
        expect(page.locator("[data-field=depth_low] .fault")).to_contain_text("1250, or 1.25")
        open_stop(page, two, 2)
        expect(page.locator("main > .over")).to_have_text("Stop 2·1 (day 2, stop 1 of 1)")
        expect(depth.locator("[aria-pressed=true]")).to_have_text("m")
        expect(page.locator("[data-field=plate_capacity] [aria-pressed=true]")).to_have_count(0)
        page.goto(two.at())
        expect(page.locator(".notices")).to_contain_text(
            f"1 note cannot be sent as it is: stop {run.codes[0]}, Depth there at low"
        )
        expect(page.locator(".stop-number")).to_have_text(["1·1", "1·2", "2·1"])
        page.goto(f"{run.address}/field#phone")
        expect(page.locator("#my-name")).to_have_value("Kim Marsh")
    assert {note["by"] for note in two.notes} == {"Kim Marsh"}


def test_without_a_connection_paper_waits_and_the_run_is_still_held(
    browser: Browser, run: Run
) -> None:
    """Paper and GPX say why they cannot be had; a failed fetch leaves what is held as it is."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.goto(run.at())
        expect(page.get_by_role("link", name="GPX file")).to_be_visible()
        page.context.set_offline(True)
        for name in ("Printed run sheet", "GPX file"):
            expect(page.get_by_role("button", name=name)).to_be_disabled()
        expect(page.locator(".papers")).to_contain_text("No connection")
        page.get_by_role("button", name="Take offline again").click()
        expect(page.locator(".held-all")).to_contain_text("Not fetched again")
        expect(page.locator(".held-all")).to_contain_text("3 sites")
        page.context.set_offline(False)
        expect(page.get_by_role("link", name="GPX file")).to_be_visible()
