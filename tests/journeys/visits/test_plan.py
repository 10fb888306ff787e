"""Field days are planned where a measurement could change the set, and it is said which and why."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.people.entering import assert_fits
from tests.journeys.test_map import DESK, assert_axe_silent, codes_listed, guarded, open_page
from tests.journeys.visits.planning import SLOW_MS, STOPS, minutes_of, order, planned, stops, visits

FOCUS = "document.activeElement.textContent"
PROJECTOR = {"width": 1920, "height": 1080}
ROADS = r'("used_roads":\s*)(?:true|false)'
NARROW = {"width": 320, "height": 640}


def tab_to(page: Page, words: str) -> None:
    """Press Tab until the focus is on what says these words."""
    for _ in range(40):
        if page.evaluate(FOCUS).strip() == words:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{words} is not reached by Tab")


def test_days_are_planned_by_keyboard_and_what_could_change_the_set_is_told(page: Page) -> None:
    """One planned stop changes the set as it might be found; one left out could not, and why."""
    page.keyboard.press("d")
    room = page.get_by_role("dialog", name="Visits")
    expect(room.get_by_role("heading", name="Visits")).to_be_focused()
    expect(room.get_by_label("Days start and end at")).to_have_value("Lanternhythe yard")
    tab_to(page, "Plan the days")
    page.keyboard.press("Enter")
    page.locator(STOPS).first.wait_for(timeout=SLOW_MS)
    glance = page.locator("#visit-glance")
    expect(glance).to_have_text(re.compile(r"^3 days, \d+ stops, "))
    expect(glance).to_be_focused()
    codes = stops(page)
    assert len(order(page)) == 3
    plates = page.locator(".leaflet-stops-pane .visit-plate").all_inner_texts()
    assert plates == page.locator(f"{STOPS} .visit-plate").all_inner_texts()
    for day in page.locator(".visit-day-glance").all_inner_texts():
        needed, length = day.split(", ")[-1].split(" of ")
        assert minutes_of(needed) <= minutes_of(length) == 480
    changes = room.get_by_role("region", name="Where a measurement could change the set")
    changes.wait_for(timeout=SLOW_MS)
    could = changes.locator("li").first
    assert could.get_by_role("button").inner_text() in codes
    expect(could).to_contain_text(re.compile("it would (come into|go out of|have)"))
    idle = room.get_by_role("region", name="nothing measured there could change it").locator("li")
    idle.first.wait_for(timeout=SLOW_MS)
    assert idle.first.get_by_role("button").inner_text() not in codes
    expect(idle.first).to_contain_text("whatever is found there")
    expect(room).to_contain_text("of what the best plan could")
    shares = room.locator(".visit-table tbody tr").locator("td").first
    assert 0 < int(shares.inner_text().split()[0]) < 100
    room.locator("summary", has_text="Left out, and why").click()
    skipped = room.locator("#visit-skipped li").first
    assert skipped.get_by_role("button").inner_text() not in codes
    assert_axe_silent(page)


def test_a_site_asked_for_is_seen_and_one_left_out_is_not(page: Page, work_address: str) -> None:
    """Both are named by code; a code nobody knows is refused at the field."""
    wanted, unwanted = codes_listed(work_address)[0], codes_listed(work_address)[1]
    room = visits(page)
    field = room.get_by_label("A site to see in any case, or to leave out")
    field.fill("nowhere")
    room.get_by_role("button", name="See it in any case").click()
    expect(room).to_contain_text("No offtake is called nowhere.")
    expect(field).to_be_focused()
    field.fill(wanted.lower())
    field.press("Enter")
    field.fill(unwanted)
    room.get_by_role("button", name="Leave it out").click()
    room.get_by_label("Days", exact=True).fill("2")
    room.get_by_role("button", name="Plan the days").click()
    page.locator(STOPS).first.wait_for(timeout=SLOW_MS)
    codes = stops(page)
    assert wanted in codes
    assert unwanted not in codes
    expect(page.locator(f"[data-code={wanted}]")).to_contain_text("Asked to be seen.")


def test_a_plan_is_stopped_and_what_is_wrong_is_said_at_the_field(page: Page) -> None:
    """A day of no hours is refused; work that is told to stop says so and is asked for again."""
    room = visits(page)
    room.get_by_label("Hours of day 2").fill("0")
    room.get_by_role("button", name="Plan the days").click()
    expect(room.get_by_label("Hours of day 2")).to_be_focused()
    expect(room).to_contain_text("A day has 1 to 24 hours.")
    room.get_by_label("Hours of day 2").fill("7.5")
    room.get_by_role("button", name="Plan the days").click()
    room.get_by_role("button", name="Stop", exact=True).click()
    expect(room.get_by_role("button", name="Plan again")).to_be_focused()
    expect(room).to_contain_text("Stopped.")


@pytest.mark.parametrize(
    ("size", "theme"),
    [(NARROW, "light"), pytest.param(PROJECTOR, "projector", marks=pytest.mark.long)],
)
@pytest.mark.long
def test_the_plan_fits_a_phone_and_a_projector(
    browser: Browser, work_address: str, size: dict[str, int], theme: str
) -> None:
    """W13, W15: no two-way scroll, fingers fit, axe finds nothing."""
    with guarded(browser, work_address, size, "Failed to load resource") as page:
        open_page(page, f"{work_address}/#t={theme}")
        visits(page)
        assert_axe_silent(page)
        assert_fits(page, ".data-visits")
        page.get_by_role("button", name="Plan the days").click()
        page.locator(STOPS).first.wait_for(timeout=SLOW_MS)
        page.get_by_role("button", name="Stop", exact=True).click()
        assert_axe_silent(page)
        assert_fits(page, ".data-visits")
        assert page.evaluate("document.getAnimations().length") == 0


def test_escape_closes_what_lies_on_top_and_that_alone(page: Page) -> None:
    """Two drawers: the upper goes, the lower has the focus; then also where nothing has it."""
    room = visits(page)
    drawers = page.locator(".data-drawer")
    page.get_by_role("button", name="Data", exact=True).click()
    expect(drawers).to_have_count(2)
    page.keyboard.press("Escape")
    expect(drawers).to_have_count(1)
    expect(room.get_by_role("heading", name="Visits")).to_be_focused()
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("Escape")
    expect(drawers).to_have_count(0)


@pytest.mark.parametrize("by_road", [True, False])
def test_straight_lines_on_the_map_are_said_to_be_no_roads(page: Page, *, by_road: bool) -> None:
    """Where no road is known to lead there; along roads that are known nothing is said there."""

    def reckoned(route: Route) -> None:
        answer = route.fetch()
        told = str(by_road).lower()
        route.fulfill(response=answer, body=re.sub(ROADS, rf"\g<1>{told}", answer.text()))

    page.route("**/api/work/*", reckoned)
    room = planned(page, 1)
    room.get_by_role("button", name="Stop", exact=True).click()
    said = page.locator(".visit-not-roads")
    expect(said).to_have_count(0 if by_road else 1)
    if not by_road:
        expect(said).to_have_text("straight lines, not roads")
        assert_axe_silent(page)
    page.unroute_all(behavior="ignoreErrors")


@pytest.mark.long
def test_of_a_served_file_days_are_planned_and_not_saved(browser: Browser, address: str) -> None:
    """There is no register to keep a run in."""
    with guarded(browser, address, DESK) as page:
        open_page(page, address)
        room = planned(page, 1)
        expect(room.get_by_role("button", name="Runs")).to_have_count(0)
        expect(room.get_by_role("button", name="Save as a run")).to_have_count(0)
        assert stops(page)
