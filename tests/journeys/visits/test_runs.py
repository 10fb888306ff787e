"""Planned days are saved as a run: its sheet, its GPX, its order again, and whose runs are seen."""

from __future__ import annotations

import re
from pathlib import Path
from uuid import uuid4
from xml.etree import ElementTree

import httpx
from playwright.sync_api import Browser, Page, expect

from tests.contracts.with_accounts import PASSWORDS
from tests.journeys.people.entering import entered, with_people
from tests.journeys.test_map import assert_axe_silent
from tests.journeys.visits.planning import STOPS, order, planned, times, visits

GPX = "{http://www.topografix.com/GPX/1/1}"


def test_days_are_saved_opened_on_paper_taken_as_gpx_moved_and_deleted(
    own_page: Page, own_address: str
) -> None:
    """The run holds the stops as they were moved; sheet and GPX name each of them in order."""
    page = own_page
    room = planned(page, 1)
    room.get_by_role("button", name="Stop", exact=True).click()
    code = order(page)[0][0]
    room.get_by_role("button", name=f"{code}: later").click()
    times(page)
    codes = order(page)[0]
    room.get_by_role("button", name="Save as a run").click()
    expect(room).to_contain_text("Give it a name")
    expect(room.get_by_label("Name of the run")).to_be_focused()
    room.get_by_label("Name of the run").fill("Lower river")
    room.get_by_label("First day").fill("2026-03-02")
    room.get_by_label("Whose days they are").fill("kim")
    room.get_by_role("button", name="Save as a run").click()
    item = room.locator(".visit-runs .case")
    expect(item).to_contain_text("2 March 2026 · kim · 1 day")
    expect(room).to_contain_text("Lower river is saved.")
    assert_axe_silent(page)
    [run] = httpx.get(f"{own_address}/api/runs").json()["runs"]
    assert (run["codes"], run["on"], run["officer"]) == ([codes], "2026-03-02", "kim")
    with page.context.expect_page() as opened:
        item.get_by_role("link", name="Run sheet: Lower river").click()
    sheet = opened.value
    sheet.wait_for_load_state()
    words = sheet.locator("body").inner_text()
    at = [words.index(each) for each in codes]
    assert at == sorted(at)
    sheet.close()
    with page.expect_download() as taken:
        item.get_by_role("link", name="GPX: Lower river").click()
    gpx = ElementTree.parse(taken.value.path()).getroot()
    named = " ".join(each.findtext(f"{GPX}name") or "" for each in gpx.iter(f"{GPX}wpt"))
    assert all(each in named for each in codes)
    phone = item.get_by_role("link", name="Open on a phone: Lower river").get_attribute("href")
    assert phone == f"/field#run={run['id']}"
    item.get_by_role("button", name="Open and move the order of Lower river").click()
    page.locator(STOPS).first.wait_for()
    assert order(page) == [codes]
    room.get_by_role("button", name=f"{codes[-1]}: earlier").click()
    times(page)
    again = order(page)
    room.get_by_role("button", name="Save the new order").click()
    expect(room).to_contain_text("The new order of Lower river is saved.")
    [run] = httpx.get(f"{own_address}/api/runs").json()["runs"]
    assert run["codes"] == again
    item.get_by_role("button", name="Delete Lower river").click()
    item.get_by_role("button", name="Delete: Lower river").click()
    expect(room).to_contain_text("Lower river is deleted.")
    assert httpx.get(f"{own_address}/api/runs").json()["runs"] == []


def test_a_field_officer_sees_own_runs_and_reviews_no_notes(
    browser: Browser, tmp_path: Path
) -> None:
    """The run is saved for the officer who plans it; another's is not in the list."""
    with with_people(tmp_path) as place:
        stop = place.as_lead("GET", "/api/offtakes")["offtake_id"][0]
        days = [{"stops": [{"code": stop}]}]
        for name in ("kim", "lee"):
            place.accounts.add_person(name, ["field"], PASSWORDS["vera"], "test")
            run = {"id": str(uuid4()), "name": f"for {name}", "on": "2026-03-02", "days": days}
            place.as_lead("POST", "/api/runs", {**run, "officer": name})
        with entered(browser, place, "kim") as page:
            room = visits(page, "Runs")
            expect(room.locator(".visit-runs .case h3")).to_have_text(["for kim"])
            expect(room.get_by_role("button", name="Notes brought back")).to_have_count(0)
            expect(page.get_by_role("button", name="Data", exact=True)).to_have_count(0)
            assert_axe_silent(page)
        with entered(browser, place, "vera") as page:
            expect(page.get_by_role("button", name=re.compile("^Visits"))).to_have_count(0)
