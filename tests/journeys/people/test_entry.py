"""Somebody signs in and out: by keys, with a wrong password, locked out, over an open map."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.contracts.with_accounts import PASSWORDS
from tests.journeys.at_work import form_opened, lead_at_work
from tests.journeys.people.entering import (
    FOCUSED,
    NARROW,
    PROJECTOR,
    Place,
    account,
    assert_fits,
    entered,
    rows_of,
    stranger,
    type_in,
    with_people,
)
from tests.journeys.test_map import DESK, PHONE, assert_axe_silent

TOLD = ".sign-in-told"


def test_the_way_in_takes_the_keyboard_alone(browser: Browser, place: Place) -> None:
    """The name has the focus; Tab, password, Enter; fields say what a password manager asks."""
    with stranger(browser, place) as page:
        name, password = page.get_by_label("Name", exact=True), page.locator("#sign-in-password")
        expect(name).to_be_focused()
        expect(name).to_have_attribute("autocomplete", "username")
        expect(password).to_have_attribute("autocomplete", "current-password")
        page.keyboard.press("Enter")
        expect(page.locator("#sign-in-name-wrong")).to_have_text("Write your name.")
        expect(name).to_be_focused()
        page.keyboard.type("ada")
        page.keyboard.press("Tab")
        assert password.evaluate(FOCUSED)
        page.keyboard.type(PASSWORDS["ada"])
        page.keyboard.press("Enter")
        rows_of(page)
        expect(page.get_by_role("button", name="ada: your account")).to_be_focused()
        for button in ("Cases", "Data"):
            expect(page.get_by_role("button", name=button, exact=True)).to_be_visible()
        page.reload()
        rows_of(page)


def test_nobody_is_told_of_the_river_and_a_wrong_password_says_so(
    browser: Browser, place: Place
) -> None:
    """Told at the form, the password marked to be typed over; after five the wait is told."""
    with stranger(browser, place) as page:
        type_in(page, "ada", "a guess that is long")
        expect(page.locator(TOLD)).to_contain_text("do not open an account")
        expect(page.get_by_role("alert").filter(has_text="do not open")).to_be_visible()
        assert page.locator("#sign-in-password").evaluate(FOCUSED)
        assert "Lantern" not in page.content()
        assert_axe_silent(page)
        for _ in range(5):
            expect(page.get_by_role("button", name="Sign in", exact=True)).to_be_visible()
            page.keyboard.type("another long guess")
            expect(page.locator(TOLD)).to_have_text("")
            page.keyboard.press("Enter")
            expect(page.locator(TOLD)).not_to_have_text("")
        expect(page.locator(TOLD)).to_contain_text("try again in 15 minutes")
        page.keyboard.type(PASSWORDS["ada"])  # now the right one, too soon
        page.keyboard.press("Enter")
        expect(page.locator(TOLD)).to_contain_text("try again in 15 minutes")
        assert_axe_silent(page)


def test_signing_out_leaves_nothing_behind(browser: Browser, place: Place) -> None:
    """The session ends at the service, the tab keeps nothing, and going back shows no river."""
    with entered(browser, place, "ada") as page:
        [cookie] = page.context.cookies()
        page.get_by_role("button", name="View", exact=True).click()
        page.locator("select[name=unit]").select_option("L/s")
        page.wait_for_timeout(400)
        assert page.evaluate("sessionStorage.length") > 0
        account(page).get_by_role("button", name="Sign out").click()
        page.locator(".sign-in").wait_for()
        assert page.evaluate("sessionStorage.length") == 0
        assert page.url == f"{place.address}/"
        assert not page.context.cookies()
        page.go_back()
        page.locator(".sign-in").wait_for()
        assert "LN-" not in page.locator("body").inner_text()
    assert place.accounts.of_session(cookie["value"]) is None


def test_signing_out_warns_of_what_was_typed(browser: Browser, shown_place: Place) -> None:
    """Where a form holds something that is not saved, it is asked once more."""
    with entered(browser, shown_place, "ada") as page:
        form_opened(page)
        page.get_by_label("Largest draw").fill("45")
        mine = account(page).get_by_role("dialog", name="Your account")
        mine.get_by_role("button", name="Sign out").click()
        expect(mine).to_contain_text("What you typed and did not save will be gone.")
        assert_axe_silent(page)
        mine.get_by_role("button", name="Not now: ada").click()
        expect(mine.get_by_role("button", name="Sign out")).to_be_focused()
        page.keyboard.press("Escape")
        expect(page.get_by_label("Largest draw")).to_have_value("45")


def test_a_map_open_to_the_public_has_a_way_to_sign_in(browser: Browser, tmp_path: Path) -> None:
    """Without an account the public's page; the form over it leads to one's own."""
    with with_people(tmp_path, public_map=True) as place, stranger(browser, place) as page:
        rows_of(page)
        expect(page.locator(".below-glance")).to_contain_text("Costs are shown in bands")
        expect(page.get_by_role("button", name="Data", exact=True)).to_have_count(0)
        page.get_by_role("button", name="Sign in", exact=True).click()
        over = page.get_by_role("dialog", name="Sign in")
        expect(over.get_by_label("Name")).to_be_focused()
        assert_axe_silent(page)
        over.get_by_role("button", name="Not now").click()
        expect(over).to_have_count(0)
        expect(page.get_by_role("button", name="Sign in", exact=True)).to_be_focused()
        page.keyboard.press("Enter")
        type_in(page, "ada")
        expect(page.get_by_role("button", name="Data", exact=True)).to_be_visible()
        expect(page.get_by_role("button", name="ada: your account")).to_be_focused()
        page.reload()
        rows_of(page)
        expect(page.get_by_role("button", name="ada: your account")).not_to_be_focused()


WORDS = """all => all.flatMap(each => {
  const told = [...each.childNodes].some(n => n.nodeType === 3 && n.data.trim());
  const { fontSize, fontWeight } = getComputedStyle(each);
  return told && each.checkVisibility() ? [[parseFloat(fontSize), Number(fontWeight)]] : [];
})"""


def test_in_a_room_the_way_in_and_the_drawers_are_as_large_as_the_page(
    browser: Browser, tmp_path: Path
) -> None:
    """In the projector theme no word of them is smaller than the page's own, no title thin; the
    button at the head keeps clear of how fresh the numbers are."""
    with with_people(tmp_path, public_map=True) as place, stranger(browser, place) as page:
        page.set_viewport_size(PROJECTOR)
        page.goto(f"{place.address}/#t=projector")
        page.reload()
        rows_of(page)
        own = page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)")
        sign_in = page.get_by_role("button", name="Sign in", exact=True)
        box, fresh = sign_in.bounding_box(), page.locator(".stamp dt").first.bounding_box()
        assert box
        assert fresh
        assert box["y"] + box["height"] + 6 <= fresh["y"]
        sign_in.click()
        page.locator(".sign-in-over").wait_for()
        seen = page.locator(".sign-in-over *").evaluate_all(WORDS)
        type_in(page, "root")
        rows_of(page)
        page.get_by_role("button", name="root: your account").click()
        mine = page.get_by_role("dialog", name="Your account")
        mine.get_by_role("button", name="People").click()
        people = page.get_by_role("dialog", name="People")
        people.get_by_text("Add somebody").click()
        expect(people).to_contain_text("sends notes")
        assert_axe_silent(page)
        seen += page.locator(".side-sheet *").evaluate_all(WORDS)
        assert len(seen) > 40
        assert min(size for size, _ in seen) >= own
        titles = page.locator(".side-sheet h2").evaluate_all(WORDS)
        assert titles
        assert all(weight >= 600 for _, weight in titles)


def test_without_accounts_the_page_knows_of_none(browser: Browser, work_address: str) -> None:
    """No button, no links of cases, and whoever edits says who they are."""
    with lead_at_work(browser, work_address, DESK) as page:
        expect(page.locator(".account-button")).to_have_count(0)
        form_opened(page)
        expect(page.get_by_label("Your name")).to_be_editable()


@pytest.mark.parametrize(
    ("size", "theme"),
    [(DESK, "light"), (PHONE, "projector"), (NARROW, "light"), (PROJECTOR, "projector")],
)
def test_the_way_in_stands_in_every_size_and_theme(
    browser: Browser, shown_place: Place, size: dict[str, int], theme: str
) -> None:
    """W13, W15: axe finds nothing, nothing scrolls sideways, with what is wrong told too."""
    with stranger(browser, shown_place, size) as page:
        page.goto(f"{shown_place.address}/#t={theme}")
        page.reload()
        page.locator(".sign-in").wait_for()
        page.get_by_role("button", name="Sign in").click()
        assert page.evaluate("document.documentElement.dataset.theme ?? 'light'") == theme
        assert_axe_silent(page)
        assert_fits(page, ".sign-in")
