"""With accounts: a session that ends offline loses nothing; nobody sends for another."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.field.at_bank import (
    Run,
    all_sent,
    assert_badge_true,
    go_on,
    open_stop,
    phone,
    run_asked,
    take_offline,
    type_number,
)
from tests.journeys.people.entering import Place, hold_session, type_in, with_people
from tests.journeys.test_map import assert_axe_silent

PRESSED = """button => { const at = each => each.getBoundingClientRect().y;
const before = at(button); button.click();
return [before, ...[button, ...button.parentElement.querySelectorAll('.leave-asked button')]
.map(at)]; }"""
OFFICERS = {"kim": "rushes hide the landing", "lee": "gravel under fast water"}


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    """A service with two field officers."""
    with with_people(tmp_path) as made:
        for name, password in OFFICERS.items():
            made.accounts.add_person(name, ["field"], password, "test")
        yield made


def run_of(place: Place, officer: str) -> Run:
    """A run that a lead makes for an officer."""
    offtakes = place.as_lead("GET", "/api/offtakes")["offtake_id"]
    asked = run_asked(offtakes[:2], officer)
    place.as_lead("POST", "/api/runs", asked)
    return Run(place.address, asked["id"], tuple(offtakes[:2]))


def notes_of(place: Place, run: Run) -> list[tuple[str, str]]:
    notes = place.as_lead("GET", f"/api/notes?run={run.id}")["notes"]
    return [(note["by"], note["typed"]) for note in notes]


def end_session(page: Page, place: Place) -> None:
    [cookie] = page.context.cookies()
    place.accounts.sign_out(cookie["value"])


def test_a_session_that_ends_offline_loses_nothing(browser: Browser, place: Place) -> None:
    """The outbox waits, the page asks to sign in, and then all of it goes out."""
    run = run_of(place, "kim")
    with phone(browser, place.address) as page:
        hold_session(page.context, place, "kim")
        take_offline(page, run)
        page.context.set_offline(True)
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        end_session(page, place)
        page.context.set_offline(False)
        expect(page.locator(".head-state")).to_have_text("Signed out")
        type_number(page, "depth_low", "0.8")  # goes on being kept
        go_on(page)
        expect(page.locator(".badge")).to_have_text("2 notes safe on this phone, 2 not yet sent")
        assert_badge_true(page)
        page.goto(f"{place.address}/field")
        page.reload()
        expect(page.locator(".notices")).to_contain_text("Nobody is signed in")
        expect(page.get_by_role("link", name="Open", exact=True)).to_be_visible()
        page.get_by_role("link", name="Sign in").click()
        assert_axe_silent(page)
        type_in(page, "kim", "wrong on purpose")
        expect(page.locator(".sign-in-told")).to_contain_text("do not open an account")
        type_in(page, "kim", OFFICERS["kim"])
        all_sent(page)
        assert_badge_true(page)
    assert notes_of(place, run) == [("kim", "1.9"), ("kim", "0.8")]


def test_notes_of_another_person_wait_for_that_person(browser: Browser, place: Place) -> None:
    """lee signs in on kim's phone: kim's run is not listed, kim's note is not sent as lee's."""
    run, _ = run_of(place, "kim"), run_of(place, "lee")
    with phone(browser, place.address) as page:
        hold_session(page.context, place, "kim")
        take_offline(page, run)
        page.context.set_offline(True)
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        hold_session(page.context, place, "lee")
        page.context.set_offline(False)
        page.goto(f"{place.address}/field#phone")
        expect(page.locator("main")).to_contain_text("Notes of kim wait until that person signs in")
        page.goto(f"{place.address}/field#")
        expect(page.locator(".run")).to_have_count(1)
        expect(page.get_by_role("link", name="Open", exact=True)).to_have_count(0)
        assert notes_of(place, run) == []
        hold_session(page.context, place, "kim")
        page.goto(f"{place.address}/field#phone")
        page.get_by_role("button", name="Send now").click()
        all_sent(page)
    assert notes_of(place, run) == [("kim", "1.9")]


def test_nobody_without_an_account_is_shown_a_run(browser: Browser, place: Place) -> None:
    """The shell opens and asks to sign in; no run, no data."""
    run = run_of(place, "kim")
    with phone(browser, place.address) as page:
        page.goto(f"{place.address}/field")
        expect(page.locator(".notices")).to_contain_text("Nobody is signed in")
        expect(page.locator(".run")).to_have_count(0)
        page.goto(run.at())
        expect(page.locator("main")).to_contain_text("Not on this phone")


def test_a_run_taken_off_the_phone_leaves_its_notes(browser: Browser, place: Place) -> None:
    """Contacts need not stay on a phone: asked below, the run goes, and notes stay."""
    run = run_of(place, "kim")
    with phone(browser, place.address) as page:
        hold_session(page.context, place, "kim")
        take_offline(page, run)
        page.context.set_offline(True)
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        page.goto(run.at())
        off = page.get_by_role("button", name="Take it off this phone")
        sure = page.get_by_role("button", name="Yes, take it off; my notes stay")
        off.click()
        told = "could not be fetched again here without a connection"
        expect(page.locator(".leave-part")).to_contain_text(told)
        expect(sure).to_have_count(0)
        page.context.set_offline(False)
        all_sent(page)
        expect(page.get_by_role("link", name="GPX file")).to_be_visible()
        off.scroll_into_view_if_needed()
        before, after, cancel, yes = off.evaluate(PRESSED)
        assert before == after  # under the finger is what was there
        assert after + 48 <= cancel
        assert cancel + 48 <= yes
        off.click()  # a second tap takes the question back
        expect(sure).to_have_count(0)
        off.click()
        page.route("**/pack", lambda route: route.abort())
        sure.click()
        expect(page.locator(".leave-part")).to_contain_text(told)
        page.unroute("**/pack")
        off.click()
        sure.click()
        expect(page.locator("h1")).to_have_text("My runs")
        expect(page.get_by_role("link", name="Open", exact=True)).to_have_count(0)
        assert_badge_true(page)
    assert notes_of(place, run) == [("kim", "1.9")]
