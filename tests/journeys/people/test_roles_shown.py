"""What each role finds on the page: readers, the scientist, and an admin with the people."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Browser, Locator, Page, Response, expect

from tests.contracts.with_accounts import PASSWORDS
from tests.journeys.at_work import data
from tests.journeys.people.entering import (
    Place,
    account,
    entered,
    shared_case,
    stranger,
    type_in,
)
from tests.journeys.test_map import ROWS, assert_axe_silent


def test_a_viewer_sees_no_private_column_and_no_way_to_edit(
    browser: Browser, shown_place: Place
) -> None:
    """Neither holders nor any other private column come to the page; nothing can be corrected."""
    lead = shown_place.as_lead("GET", "/api/offtakes")
    seen: list[Any] = []

    def keep(answer: Response) -> None:
        if answer.url.endswith("/api/offtakes"):
            seen.append(answer.json())

    with entered(browser, shown_place, "vera") as page:
        page.on("response", keep)
        page.reload()
        page.locator(ROWS).first.click()
        page.locator(".why-chart").wait_for()
        expect(page.get_by_role("button", name="Data", exact=True)).to_have_count(0)
        expect(page.get_by_role("button", name=re.compile("Correct"))).to_have_count(0)
        expect(page.get_by_role("radio", name="Best set")).to_have_count(0)
        expect(page.locator(".why-follow")).to_have_count(0)
    [offtakes] = seen
    assert offtakes["viewer"] == "agency"
    assert "holder" in lead
    assert "holder" not in offtakes


def test_a_reader_reads_and_prints_the_shared_cases(browser: Browser, place: Place) -> None:
    """A list of what was shared, each with its page; a link to one says how to read it."""
    case_id = shared_case(place, "Agreed in spring")
    with entered(browser, place, "vera") as page:
        page.keyboard.press("c")
        cases = page.get_by_role("dialog", name="Shared cases")
        expect(cases.get_by_role("heading", name="Agreed in spring")).to_be_visible()
        expect(cases).to_contain_text("by ada")
        assert_axe_silent(page)
        link = cases.get_by_role("link", name=re.compile("^Read and print"))
        assert link.get_attribute("href") == f"/print/fund/{case_id}"
        page.goto(f"{place.address}/print/fund/{case_id}")
        expect(page.locator("body")).to_contain_text("Agreed in spring")
        page.goto(f"{place.address}/?case={case_id}")
        page.get_by_role("link", name="Read the case in print").click()
        expect(page.locator("body")).to_contain_text("Agreed in spring")


def test_a_scientist_pastes_into_the_biology_alone(browser: Browser, place: Place) -> None:
    """Four tables and the history of them; the change carries the account's name."""
    efficacy = place.as_lead("GET", "/api/offtakes")["options"]
    assert efficacy
    guild = place.as_lead("GET", "/api/catchment")["guilds"][0]["guild_id"]
    with entered(browser, place, "grace") as page:
        data(page, "Paste rows")
        rooms = page.locator(".data-nav button").all_inner_texts()
        assert rooms == ["History", "Paste rows"]
        tables = page.get_by_label("Table", exact=True)
        assert set(tables.locator("option").evaluate_all("all => all.map(o => o.value)")) == {
            "guilds", "production", "options", "efficacy",
        }  # fmt: skip
        tables.select_option("guilds")
        text = f"guild_id\tspecies\n{guild}\tLantern perch"
        page.get_by_label("Cells with their header line").fill(text)
        page.get_by_role("button", name="See what would change").click()
        expect(page.locator(".paste-preview")).to_contain_text("Lantern perch")
        expect(page.get_by_label("Your name")).to_have_value("grace")
        expect(page.get_by_label("Your name")).not_to_be_editable()
        assert_axe_silent(page)
        page.get_by_label("Reason, kept in the history").fill("seen in the trap")
        page.get_by_role("button", name="Apply as one edit").click()
        page.locator(".news").filter(has_text=re.compile("Saved")).wait_for()
        data(page, "History")
        expect(page.locator(".edit-one").first).to_contain_text("grace")
        page.keyboard.press("Escape")
        page.locator(ROWS).first.click()
        page.locator(".why-chart").wait_for()
        expect(page.get_by_role("button", name=re.compile("Correct"))).to_have_count(0)
    told = place.as_lead("GET", "/api/edits")["edits"][0]
    assert (told["by"], told["why"]) == ("grace", "seen in the trap")


def people(page: Page) -> Locator:
    account(page).get_by_role("button", name="People", exact=True).click()
    opened = page.get_by_role("dialog", name="People")
    expect(opened.get_by_role("list", name="People")).to_contain_text("vera")
    return opened


def item(opened: Locator, name: str) -> Locator:
    return opened.locator(f"[data-person={name}]")


def test_an_admin_sees_the_public_map_and_the_people(browser: Browser, place: Place) -> None:
    """Adds somebody who then comes in; changes roles; locks out and in; removes."""
    with entered(browser, place, "root") as page:
        expect(page.locator(".below-glance")).to_contain_text("Costs are shown in bands")
        for button in ("Data", "Cases"):
            expect(page.get_by_role("button", name=button, exact=True)).to_have_count(0)
        opened = people(page)
        opened.get_by_text("Add somebody").click()
        opened.get_by_role("button", name="Add", exact=True).click()
        expect(opened.get_by_text("Write the name.")).to_be_visible()
        expect(opened.get_by_text("Tick one role at least.")).to_be_visible()
        assert_axe_silent(page)
        opened.get_by_label("Name", exact=True).fill("Ben of the weir")
        opened.get_by_role("checkbox", name="Viewer").check()
        opened.get_by_label("First password").fill("sand under running water")
        opened.get_by_role("button", name="Add", exact=True).click()
        expect(opened.get_by_role("status").first).to_have_text("Ben of the weir is added.")
        with stranger(browser, place) as other:
            type_in(other, "Ben of the weir", "sand under running water")
            expect(other.get_by_role("button", name="Ben of the weir: your")).to_be_visible()
        opened.get_by_role("button", name="Roles of vera").click()
        expect(opened.get_by_role("checkbox", name="Viewer")).to_be_focused()
        opened.get_by_role("checkbox", name="Scientist").last.check()
        assert_axe_silent(page)
        opened.get_by_role("button", name="Save the roles: vera").click()
        expect(item(opened, "vera")).to_contain_text("Scientist and viewer")
        opened.get_by_role("button", name="Lock vera out").click()
        opened.get_by_role("button", name="Lock out: vera").click()
        expect(item(opened, "vera")).to_contain_text("locked out")
        with stranger(browser, place) as other:
            type_in(other, "vera")
            expect(other.locator(".sign-in-told")).to_contain_text("do not open an account")
        opened.get_by_role("button", name="Let vera in again").click()
        expect(item(opened, "vera")).not_to_contain_text("locked out")
        opened.get_by_role("button", name="Remove vera").click()
        opened.get_by_role("button", name="Remove: vera").click()
        expect(item(opened, "vera")).to_have_count(0)
    assert "vera" not in {each["name"] for each in place.accounts.people()}


def test_the_last_lead_and_the_last_admin_stay(browser: Browser, shown_place: Place) -> None:
    """Refused in plain words where it was asked, and nothing is changed."""
    with entered(browser, shown_place, "root") as page:
        opened = people(page)
        opened.get_by_role("button", name="Remove ada").click()
        opened.get_by_role("button", name="Remove: ada").click()
        expect(item(opened, "ada").get_by_role("alert")).to_contain_text("last lead")
        opened.get_by_role("button", name="Not now: ada").click()
        opened.get_by_role("button", name="Roles of root").click()
        opened.locator("[data-person=root]").get_by_role("checkbox", name="Admin").uncheck()
        opened.get_by_role("button", name="Save the roles: root").click()
        refused = item(opened, "root").get_by_role("alert").filter(has_text=re.compile("."))
        expect(refused).to_have_text("Tick one role at least.")
        opened.locator("[data-person=root]").get_by_role("checkbox", name="Viewer").check()
        opened.get_by_role("button", name="Save the roles: root").click()
        expect(refused).to_contain_text("last admin")
    assert {each["name"] for each in shown_place.accounts.people()} == set(PASSWORDS)
