"""One's own account: a token for a GIS, the password; and a case's public link."""

from __future__ import annotations

import re

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from slackwater.errors import SignInRefused
from tests.contracts.with_accounts import PASSWORDS
from tests.journeys.people.entering import (
    NARROW,
    PROJECTOR,
    Place,
    account,
    assert_fits,
    entered,
    shared_case,
)
from tests.journeys.test_cases import drawer
from tests.journeys.test_map import DESK, PHONE, assert_axe_silent, is_foreign


def reads(place: Place, token: str) -> int:
    """How the service answers a GIS that holds a token as the password of any name."""
    return httpx.get(f"{place.address}/ogc/collections", auth=("anything", token)).status_code


def test_a_token_is_shown_once_works_and_is_ended(browser: Browser, place: Place) -> None:
    """With a button that copies it and the address beside it; afterwards it is nowhere."""
    with entered(browser, place, "ada") as page:
        page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        mine = account(page).get_by_role("dialog", name="Your account")
        expect(mine.get_by_label("Address", exact=True)).to_have_value(f"{place.address}/ogc")
        mine.get_by_role("button", name="Make a token").click()
        expect(mine.get_by_label("What it is for")).to_be_focused()
        mine.get_by_label("What it is for").fill("Office GIS")
        mine.get_by_label("Days it works").fill("400")
        mine.get_by_role("button", name="Make a token").click()
        expect(mine.get_by_text("From 1 to 365 days")).to_be_visible()
        mine.get_by_label("Days it works").fill("30")
        mine.get_by_role("button", name="Make a token").click()
        expect(mine.get_by_label("Token", exact=True)).to_be_focused()
        secret = mine.get_by_label("Token", exact=True).input_value()
        assert_axe_silent(page)
        mine.locator(".shown-once").get_by_role("button", name="Copy").click()
        expect(mine.get_by_text("Copied.")).to_be_visible()
        assert page.evaluate("navigator.clipboard.readText()") == secret
        assert reads(place, secret) == 200
        page.keyboard.press("Escape")
        account(page)
        expect(mine.get_by_role("list", name="Your tokens")).to_contain_text("Office GIS")
        expect(mine.get_by_label("Token", exact=True)).to_have_count(0)
        assert secret not in page.content()
        mine.get_by_role("button", name="End the token Office GIS").click()
        mine.get_by_role("button", name="End it: Office GIS").click()
        expect(mine.get_by_role("list", name="Your tokens")).to_contain_text("No token yet.")
    assert reads(place, secret) == 401


def test_a_password_is_changed_by_whoever_knows_it(browser: Browser, place: Place) -> None:
    """What is wrong is told at the form; the new one holds, the page stays signed in."""
    new = "mist above the old ford"
    with entered(browser, place, "vera") as page:
        mine = account(page).get_by_role("dialog", name="Your account")
        mine.get_by_text("Change it").click()
        old, next_one = mine.get_by_label("Password until now"), mine.get_by_label("New password")
        expect(next_one).to_have_attribute("autocomplete", "new-password")
        old.fill("not the password")
        next_one.fill("short")
        page.keyboard.press("Enter")
        expect(next_one).to_have_attribute("aria-invalid", "true")
        next_one.fill(new)
        page.keyboard.press("Enter")
        expect(mine.get_by_role("alert").last).to_contain_text("do not open an account")
        assert_axe_silent(page)
        old.fill(PASSWORDS["vera"])
        page.keyboard.press("Tab")
        next_one.press("Enter")
        expect(mine.get_by_role("status").first).to_have_text("Your password is changed.")
        page.reload()
        expect(page.get_by_role("button", name="vera: your account")).to_be_visible()
    assert place.accounts.sign_in("vera", new)
    with pytest.raises(SignInRefused):
        place.accounts.sign_in("vera", PASSWORDS["vera"])


def test_a_public_link_opens_without_an_account_until_it_is_ended(
    browser: Browser, place: Place
) -> None:
    """Made for some days, copied, opened where nobody signed in; ended, it leads nowhere."""
    shared_case(place, "Agreed in spring")
    with entered(browser, place, "ada") as page:
        cases = drawer(page)
        cases.get_by_text(re.compile("^Public link")).click()
        cases.get_by_label("Days it works").fill("7")
        cases.get_by_role("button", name="Make a public link to Agreed in spring").click()
        field = cases.get_by_label("Public link", exact=True)
        expect(field).to_be_focused()
        link = field.input_value()
        assert link.startswith(f"{place.address}/shared/")
        expect(cases.get_by_role("list", name="Public links to")).to_contain_text("by ada")
        assert_axe_silent(page)
        assert opened(browser, place, link)[0] == 200
        assert "Agreed in spring" in opened(browser, place, link)[1]
        end = cases.get_by_role("list", name="Public links to")
        end.get_by_role("button", name=re.compile("^End the link")).click()
        end.get_by_role("button", name=re.compile("^End it")).click()
        expect(cases.get_by_text("The link is ended")).to_be_visible()
        expect(field).to_have_count(0)
        status, words = opened(browser, place, link)
        assert status == 404
        assert "Agreed" not in words


def opened(browser: Browser, place: Place, link: str) -> tuple[int, str]:
    """How a browser that knows nobody finds a link: status, and what it reads there."""
    context = browser.new_context()
    try:
        page = context.new_page()
        foreign: list[str] = []
        page.on(
            "request",
            lambda asked: foreign.append(asked.url) if is_foreign(asked.url, place.address) else 0,
        )
        answer = page.goto(link)
        assert answer is not None
        assert not foreign
        return answer.status, page.locator("body").inner_text()
    finally:
        context.close()


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        (DESK, "light"),
        (PHONE, "projector"),
        (NARROW, "light"),
        pytest.param(PROJECTOR, "projector", marks=pytest.mark.long),
        pytest.param(PHONE, "light", marks=pytest.mark.long),
    ],
)
def test_account_and_people_stand_in_every_size_and_theme(
    browser: Browser, shown_place: Place, size: dict[str, int], theme: str
) -> None:
    """W13, W15: axe finds nothing, nothing scrolls sideways, targets are large on a phone."""
    with entered(browser, shown_place, "root", size, f"#t={theme}") as page:
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        account(page)
        page.locator(".account .token-list li").first.wait_for()
        unfolded(page, ".account")
        page.get_by_role("button", name="Make a token").click()
        assert_axe_silent(page)
        assert_fits(page, ".account .cases-body")
        page.get_by_role("button", name="People", exact=True).click()
        page.locator(".people .case").first.wait_for()
        unfolded(page, ".people")
        page.get_by_role("button", name="Roles of ada").click()
        page.get_by_role("button", name="New password for vera").click()
        assert_axe_silent(page)
        assert_fits(page, ".people .cases-body")


def unfolded(page: Page, within: str) -> None:
    page.locator(f"{within} details").evaluate_all("all => all.forEach(d => { d.open = true; })")
