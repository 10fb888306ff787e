"""On a map open to the public a session ends: it is said, and no answer passes for one's own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.people.entering import Place, entered, rows_of, type_in, with_people
from tests.journeys.test_map import ROWS, assert_axe_silent

NOTE = ".ended-note"


@pytest.fixture
def open_place(tmp_path: Path) -> Iterator[Place]:
    """A service whose map is open to the public."""
    with with_people(tmp_path, public_map=True) as made:
        yield made


def end_session(page: Page, place: Place) -> None:
    """As the service does after a while."""
    [cookie] = page.context.cookies()
    place.accounts.sign_out(cookie["value"])


def test_a_page_opened_after_the_session_ended_says_so(browser: Browser, open_place: Place) -> None:
    """The public's map with a line at the head; the way back in, or the line put away for good."""
    with entered(browser, open_place, "vera") as page:
        expect(page.locator(NOTE)).to_have_count(0)
        end_session(page, open_place)
        page.reload()
        rows_of(page)
        expect(page.get_by_role("status").filter(has_text="Your sign-in has ended")).to_have_text(
            "Your sign-in has ended; you see what is public."
        )
        expect(page.locator(".below-glance")).to_contain_text("Costs are shown in bands")
        assert_axe_silent(page)
        page.locator(NOTE).get_by_role("button", name="Sign in again").click()
        type_in(page, "vera")
        expect(page.get_by_role("button", name="vera: your account")).to_be_focused()
        expect(page.locator(NOTE)).to_have_count(0)
        end_session(page, open_place)
        page.reload()
        rows_of(page)
        page.locator(NOTE).get_by_role("button", name="Close this note").click()
        expect(page.locator(NOTE)).to_have_count(0)
        expect(page.get_by_role("button", name="Sign in", exact=True)).to_be_focused()
        page.wait_for_function("() => fetch('/api/me').then(a => a.json()).then(me => !me.ended)")
        page.reload()
        rows_of(page)
        expect(page.locator(NOTE)).to_have_count(0)


def test_a_session_that_ends_over_an_open_page_is_asked_for_again(
    browser: Browser, open_place: Place
) -> None:
    """A look at an offtake would be answered as the public's: one is asked to sign in again; put
    off, the page says what is seen from then on, and asks no more until it is wished."""
    with entered(browser, open_place, "vera") as page:
        end_session(page, open_place)
        page.locator(ROWS).nth(3).click()
        over = page.get_by_role("dialog", name="Sign in again")
        expect(over.get_by_label("Password", exact=True)).to_be_focused()
        page.keyboard.press("Escape")
        expect(page.locator(NOTE)).to_contain_text("Your sign-in has ended; what you open from now")
        page.locator(".why-chart").wait_for()
        page.locator(".why .why-close").click()
        page.locator(ROWS).nth(1).click()
        expect(page.locator(".why-code")).to_have_text(
            page.locator(f"{ROWS} .cell-code").nth(1).inner_text()
        )
        expect(over).to_have_count(0)
        page.locator(NOTE).get_by_role("button", name="Sign in again").click()
        type_in(page, "vera")
        expect(page.locator(NOTE)).to_have_count(0)
        expect(page.get_by_role("button", name="vera: your account")).to_be_focused()
