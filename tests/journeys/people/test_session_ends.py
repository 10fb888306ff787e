"""A session ends, or changes, while somebody is at work: nothing typed or tried is lost."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.at_work import DRAWER, data, form_opened, moved, save
from tests.journeys.people.entering import Place, entered, hold_session, type_in
from tests.journeys.test_map import ROWS, assert_axe_silent
from tests.journeys.working.test_upload import demo_with

ML_A_DAY = 1000 / 86_400


def draw_of(place: Place, code: str) -> Any:
    """The largest draw as it stands in the database."""
    return place.as_lead("GET", f"/api/rows/offtakes/{code}")["cells"]["capacity_m3s"]


def end_session(page: Page, place: Place) -> None:
    """As the service does after a while."""
    [cookie] = page.context.cookies()
    place.accounts.sign_out(cookie["value"])


def test_what_was_typed_is_saved_after_signing_in_again(browser: Browser, place: Place) -> None:
    """The form over the page asks for the password alone; put off, all stays; then it is saved."""
    with entered(browser, place, "ada") as page:
        code = form_opened(page)
        expect(page.get_by_label("Your name")).to_have_value("ada")
        expect(page.get_by_label("Your name")).not_to_be_editable()
        page.get_by_label("Largest draw").fill("45")
        end_session(page, place)
        save(page)
        over = page.get_by_role("dialog", name="Sign in again")
        expect(over.get_by_label("Password", exact=True)).to_be_focused()
        expect(over.get_by_label("Name")).to_have_value("ada")
        assert_axe_silent(page)
        page.keyboard.press("Escape")
        expect(over).to_have_count(0)
        expect(page.get_by_role("alert").filter(has_text="Sign in")).to_be_visible()
        expect(page.get_by_label("Largest draw")).to_have_value("45")
        page.get_by_role("button", name="Save", exact=True).click()
        type_in(page, "ada", "not the password")
        expect(over.get_by_role("alert").first).to_contain_text("do not open an account")
        type_in(page, "ada")
        assert f"{code}:" in moved(page)
    assert draw_of(place, code) == pytest.approx(45 * ML_A_DAY)
    [edit] = [e for e in place.as_lead("GET", "/api/edits")["edits"] if e["kind"] != "import"]
    assert (edit["by"], edit["why"]) == ("ada", "read off the plate")


def test_a_look_at_an_offtake_goes_on_after_signing_in_again(
    browser: Browser, place: Place
) -> None:
    """The why panel that was refused fills itself; what was tried stands."""
    with entered(browser, place, "vera") as page:
        page.get_by_role("button", name="Weights and budget").click()
        page.get_by_role("textbox", name="Budget").fill("400000")
        page.keyboard.press("Enter")
        end_session(page, place)
        page.locator(ROWS).nth(3).click()
        type_in(page, "vera")
        page.locator(".why-chart").wait_for()
        expect(page.get_by_role("dialog", name="Sign in again")).to_have_count(0)
        assert "of 400,000 CDL" in page.locator("h1").inner_text()


def test_a_session_begun_in_another_tab_is_taken_up_unasked(browser: Browser, place: Place) -> None:
    """The page's token for changes is old then: it is asked for anew and the edit is sent again."""
    with entered(browser, place, "ada") as page:
        code = form_opened(page)
        page.get_by_label("Largest draw").fill("45")
        hold_session(page.context, place, "ada")
        save(page)
        assert f"{code}:" in moved(page)
        expect(page.get_by_role("dialog", name="Sign in again")).to_have_count(0)
    assert draw_of(place, code) == pytest.approx(45 * ML_A_DAY)


def test_a_file_too_is_sent_again(browser: Browser, place: Place, tmp_path: Path) -> None:
    """What is uploaded carries the token as well, and is sent once more with a new one."""
    file = demo_with(tmp_path, "new.gpkg", "LN-001", 0.5)
    with entered(browser, place, "ada") as page:
        data(page, "Upload a file")
        hold_session(page.context, place, "ada")
        page.get_by_label("Choose a file").set_input_files(file)
        expect(page.locator(DRAWER)).to_contain_text("new.gpkg can be taken in", timeout=60_000)
        expect(page.get_by_role("dialog", name="Sign in again")).to_have_count(0)


def test_nothing_is_written_under_the_name_of_somebody_else(browser: Browser, place: Place) -> None:
    """Another tab signed in as another person: the page says who, and keeps what was typed."""
    with entered(browser, place, "ada") as page:
        code = form_opened(page)
        before = draw_of(place, code)
        page.get_by_label("Largest draw").fill("45")
        hold_session(page.context, place, "grace")
        save(page)
        expect(page.get_by_role("alert").filter(has_text="grace is signed in")).to_be_visible()
        expect(page.get_by_label("Largest draw")).to_have_value("45")
    assert draw_of(place, code) == before
