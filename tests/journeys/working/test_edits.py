"""The data is corrected from the why panel: once, by two at a time, undone, and nothing is lost."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.at_work import (
    DRAWER,
    NEWS,
    at_work,
    cell,
    data,
    edit_elsewhere,
    form_opened,
    history,
    lead_at_work,
    moved,
    save,
    told_what_moved,
    why_opened,
)
from tests.journeys.test_map import DESK, PHONE, ROWS, assert_axe_silent, codes_listed

NARROW = {"width": 320, "height": 640}
ML_A_DAY = 1000 / 86_400


def test_an_input_is_corrected_and_the_page_says_what_moved(page: Page, address: str) -> None:
    """Refused at the field, checked, saved; trial, map and choice stay, the new numbers come."""
    page.get_by_role("button", name="Weights and budget").click()
    page.get_by_role("textbox", name=re.compile("^Budget,")).fill("1500000")
    page.keyboard.press("Enter")
    page.locator(".leaflet-container").focus()
    page.keyboard.press("+")
    code = why_opened(page)
    page.wait_for_timeout(600)
    address_before = page.evaluate("location.hash")
    page.get_by_text("every input").click()
    page.get_by_role("button", name="Correct Largest draw").click()
    field = page.get_by_label("Largest draw")
    expect(field).to_be_focused()
    field.fill("4,5")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator("[data-column=capacity_m3s]")).to_contain_text(
        "a point before the decimals"
    )
    field.fill("45")
    expect(page.locator("[data-column=capacity_m3s]")).to_contain_text("was ")
    page.get_by_role("button", name="Check").click()
    expect(page.locator(DRAWER)).to_contain_text("It can be saved")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_label("Reason, kept in the history")).to_be_focused()
    assert history(address) == []
    save(page)
    assert f"{code}:" in moved(page)
    expect(page.locator("html.data-stale")).to_have_count(0)
    assert cell(address, code, "capacity_m3s") == pytest.approx(45 * ML_A_DAY)
    expect(page.locator(".why-code")).to_have_text(code)
    expect(page.locator(".why-intake")).to_contain_text("45.0")
    page.wait_for_timeout(600)
    kept = [
        re.sub(r"(^|&)d=[^&]*", "", each)
        for each in (address_before, page.evaluate("location.hash"))
    ]
    assert kept[0] == kept[1]
    assert "b=1500000" in kept[0]
    assert "map=" in kept[0]
    [edit] = history(address)
    assert (edit["why"], edit["change_count"]) == ("read off the plate", 1)


def test_a_lost_answer_and_a_second_press_write_once(page: Page, address: str) -> None:
    """The service keeps the edit, its answer is lost, the button is pressed twice: one edit."""
    code = form_opened(page)
    lost: list[str] = []

    def lose(route: Route) -> None:
        if not lost:
            lost.append(str(route.fetch().json()["id"]))
            route.abort()
        else:
            route.continue_()

    page.route("**/api/edits", lose)
    page.get_by_label("Largest draw").fill("45")
    page.get_by_label("Share of its draw at night").fill("30")
    page.get_by_label("Reason, kept in the history").fill("seen twice")
    page.get_by_role("button", name="Save", exact=True).dblclick()
    assert f"{code}:" in told_what_moved(page, code)  # worked out before the answer came at last
    [edit] = history(address)
    assert edit["id"] == lost[0]
    assert edit["change_count"] == 2
    assert cell(address, code, "night_use_share") == pytest.approx(0.3)


def test_two_at_one_field_see_both_values_and_choose(page: Page, address: str) -> None:
    """W19's rule for the desk: who, when, both values, and a choice for each."""
    code = form_opened(page)
    edit_elsewhere(address, code, "capacity_m3s", 0.5)
    edit_elsewhere(address, code, "intake_depth_m", 2.5, by="Ben")
    page.get_by_label("Largest draw").fill("45")
    page.get_by_label("Water depth there").fill("3")
    page.get_by_label("Share of its draw at night").fill("30")
    save(page)
    draw = page.locator("[data-column=capacity_m3s] .edit-conflict")
    expect(draw).to_contain_text("43.2\u00a0ML/d now (Ada,")
    expect(draw).to_contain_text("Put mine: 45\u00a0ML/d")
    expect(page.locator("[data-column=intake_depth_m] .edit-conflict")).to_contain_text("(Ben,")
    expect(draw.get_by_role("button", name="Keep theirs")).to_be_focused()
    assert_axe_silent(page)
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(DRAWER)).to_contain_text("Choose first")
    draw.get_by_role("button", name="Keep theirs").click()
    page.get_by_role("button", name=re.compile("Put mine: 3")).click()
    page.get_by_role("button", name="Save", exact=True).click()
    moved(page)
    assert cell(address, code, "capacity_m3s") == 0.5
    assert cell(address, code, "intake_depth_m") == 3
    assert cell(address, code, "night_use_share") == pytest.approx(0.3)


def test_the_history_undoes_with_a_reason_and_keeps_both(page: Page, address: str) -> None:
    """Undo asks why, is a row of its own, and says so where a later change stands in its way."""
    code = codes_listed(address)[2]
    before = cell(address, code, "capacity_m3s")
    edit_elsewhere(address, code, "capacity_m3s", 0.5)
    data(page, "History")
    first = page.locator(".edit-one").first
    expect(first).to_contain_text("Ada")
    expect(first).to_contain_text("43.2\u00a0ML/d")
    first.get_by_role("button", name="Undo").click()
    first.get_by_role("button", name="Undo it").click()
    expect(first.get_by_label("Reason, kept in the history")).to_be_focused()
    first.get_by_label("Reason, kept in the history").fill("it was another pump")
    edit_elsewhere(address, code, "capacity_m3s", 0.6, by="Ben")
    first.get_by_role("button", name="Undo it").click()
    expect(first).to_contain_text("51.84\u00a0ML/d now (Ben,")
    edit_elsewhere(address, code, "capacity_m3s", 0.5, by="Ben")
    first.get_by_role("button", name="Undo it").click()
    assert f"{code}:" in moved(page)
    assert cell(address, code, "capacity_m3s") == before
    newest = history(address)[0]
    assert (newest["kind"], newest["why"]) == ("undo", "it was another pump")
    data(page, "History")
    expect(page.locator(".edit-undone")).to_have_count(1)


def test_a_change_by_somebody_else_is_told_and_shown_when_wanted(page: Page, address: str) -> None:
    """Nothing moves by itself: a calm line says who, and a button shows the new data."""
    code = why_opened(page)
    edit_elsewhere(address, code, "capacity_m3s", 0.5)
    line = page.locator(NEWS)
    line.get_by_text("The data changed (Ada,").wait_for()
    expect(page.locator(".why-intake")).not_to_contain_text("43.2")
    line.get_by_role("button", name="Show it").click()
    expect(page.locator(".why-intake")).to_contain_text("43.2")
    expect(page.locator(".why-code")).to_have_text(code)


def test_what_was_typed_is_not_lost_by_closing(page: Page, address: str) -> None:
    """Escape closes, the line leads back, the text is there, and outlives new data too."""
    code = form_opened(page)
    page.get_by_label("Largest draw").fill("45")
    page.get_by_label("Reason, kept in the history").fill("half a sent")
    page.keyboard.press("Escape")
    expect(page.locator(DRAWER)).to_have_count(0)
    page.locator(NEWS).get_by_role("button", name="Open it again").click()
    expect(page.get_by_role("heading", name=f"Correct {code}")).to_be_visible()
    expect(page.get_by_label("Largest draw")).to_have_value("45")
    expect(page.get_by_label("Reason, kept in the history")).to_have_value("half a sent")
    edit_elsewhere(address, code, "intake_depth_m", 2.5)
    page.locator(NEWS).get_by_role("button", name="Show it").click()
    page.locator(NEWS).get_by_text("Shown now.").wait_for()
    expect(page.get_by_label("Water depth there")).to_have_value("2.5")
    expect(page.get_by_label("Largest draw")).to_have_value("45")
    page.get_by_role("button", name="Start again").click()
    expect(page.get_by_label("Reason, kept in the history")).to_have_value("")
    page.get_by_role("button", name="Close", exact=True).last.click()
    expect(page.locator(DRAWER)).to_have_count(0)
    assert [each["by"] for each in history(address)] == ["Ada"]


def test_a_correction_by_keyboard_alone(page: Page, address: str) -> None:
    """From the list to a saved edit and back, without a pointer; the focus is never lost."""
    page.locator(ROWS).nth(3).focus()
    page.keyboard.press("Enter")
    page.locator(".why-chart").wait_for()
    code = page.locator(".why-code").inner_text()
    opener = page.get_by_role("button", name="Correct or fill in")
    for _ in range(60):
        page.keyboard.press("Tab")
        if opener.evaluate("b => b === document.activeElement"):
            break
    page.keyboard.press("Enter")
    page.locator(".edit-form").wait_for()
    for _ in range(6):
        page.keyboard.press("Tab")
        if page.get_by_label("Largest draw").evaluate("b => b === document.activeElement"):
            break
    page.keyboard.press("Control+A")
    page.keyboard.type("45")
    page.get_by_label("Reason, kept in the history").focus()
    page.keyboard.type("plate")
    page.get_by_role("button", name="Save", exact=True).focus()
    page.keyboard.press("Enter")
    assert f"{code}:" in moved(page)
    assert page.evaluate("document.activeElement !== document.body")
    assert cell(address, code, "capacity_m3s") == pytest.approx(45 * ML_A_DAY)


def test_nothing_can_be_changed_where_nothing_is_to_be(browser: Browser, address: str) -> None:
    """Seen as the public there is no Data button, no way to correct, and the service refuses."""
    with lead_at_work(browser, f"{address}/?as=public", DESK) as page:
        page.locator(ROWS).first.click()
        page.locator(".why-chart").wait_for()
        expect(page.get_by_role("button", name="Data", exact=True)).to_have_count(0)
        expect(page.get_by_role("button", name=re.compile("Correct"))).to_have_count(0)


@pytest.fixture(scope="module")
def calm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A working database in which one thing was changed."""
    with at_work(tmp_path_factory.mktemp("calm")) as here:
        edit_elsewhere(here, codes_listed(here)[0], "capacity_m3s", 0.5)
        yield here


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        (DESK, "light"),
        (PHONE, "projector"),
        (NARROW, "light"),
        pytest.param(DESK, "projector", marks=pytest.mark.long),
        pytest.param(PHONE, "light", marks=pytest.mark.long),
        pytest.param(NARROW, "projector", marks=pytest.mark.long),
    ],
)
def test_form_and_drawers_stand_in_every_size_and_theme(
    browser: Browser, calm: str, size: dict[str, int], theme: str
) -> None:
    """W13, W15: axe finds nothing, nothing scrolls sideways, targets are large on a phone."""
    with lead_at_work(browser, calm, size) as page:
        if theme == "projector":
            page.keyboard.press("t")
        form_opened(page, 1)
        page.locator(".edit-group").evaluate_all("all => all.forEach(d => { d.open = true; })")
        page.get_by_label("Largest draw").fill("x")
        page.get_by_role("button", name="Save", exact=True).click()
        assert_fits(page, size)
        page.keyboard.press("Escape")
        for tab in ("Offers", "History", "Paste rows", "Upload a file"):
            data(page, tab)
            page.locator(f"{DRAWER} [role=status]").first.wait_for(state="attached")
            assert_fits(page, size)
            page.keyboard.press("Escape")


def assert_fits(page: Page, size: dict[str, int]) -> None:
    assert_axe_silent(page)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    body = page.locator(f"{DRAWER} .data-body")
    assert body.evaluate("b => b.scrollWidth <= b.clientWidth")
    if size["width"] > PHONE["width"]:
        return
    for control in body.locator("button, select, input, textarea, summary").all():
        box = control.bounding_box()
        if box and control.is_visible():
            assert box["height"] >= 43.5, control.evaluate("c => c.outerHTML")
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= size["width"]
