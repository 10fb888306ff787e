"""An offtake is moved on the map by pointer, finger, keys or numbers; giving up leaves nothing."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.journeys.at_work import (
    DRAWER,
    cell,
    form_opened,
    history,
    moved,
    save,
)
from tests.journeys.test_map import assert_axe_silent

PIN = ".moved"
DEGREE_M = 111_195


def to_the_map(page: Page) -> tuple[str, Locator, Locator]:
    """Open the form, go to the map; give the code and the boxes of latitude and longitude."""
    code = form_opened(page)
    page.get_by_role("button", name="Move on the map").click()
    page.locator(PIN).wait_for()
    return code, page.get_by_label("Latitude, degrees"), page.get_by_label("Longitude, degrees")


def preview(page: Page) -> str:
    """Wait for the reach it would draw from."""
    page.locator(".move-preview").get_by_text("from its upper end").wait_for()
    return page.locator(".move-preview").inner_text()


def test_keys_buttons_and_coordinates_move_it_by_metres(page: Page, address: str) -> None:
    """An arrow key is a step of the metres chosen, so is a button; typed degrees go there."""
    code, lat, _ = to_the_map(page)
    assert_axe_silent(page)
    north = float(lat.input_value())
    page.locator(PIN).focus()
    page.keyboard.press("ArrowUp")
    assert (float(lat.input_value()) - north) * DEGREE_M == pytest.approx(10, abs=0.2)
    assert "10\u00a0m from where it stood" in preview(page)
    page.get_by_label("Step", exact=True).select_option("50")
    page.get_by_role("button", name="One step south").click()
    assert (float(lat.input_value()) - north) * DEGREE_M == pytest.approx(-40, abs=0.2)
    lat.fill("95")
    expect(lat).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_role("button", name="Use this place")).to_be_disabled()
    lat.fill(f"{north + 20 / DEGREE_M:.6f}")
    assert "20\u00a0m from where it stood" in preview(page)
    page.get_by_role("button", name="Use this place").click()
    expect(page.locator(DRAWER)).to_contain_text("To be moved:")
    save(page, "surveyed")
    assert f"{code}:" in moved(page)
    assert cell(address, code, "geometry")[1] == pytest.approx(north + 20 / DEGREE_M, abs=1e-6)
    [edit] = history(address)
    columns = {each["column"] for each in edit["changes"]}
    assert "geometry" in columns
    assert columns <= {"geometry", "reach_id", "chainage_m"}


def test_dragging_moves_it_and_cancel_leaves_no_trace(page: Page, address: str) -> None:
    """Dragged by the pointer, looked at, given up: nothing is changed, drawn or kept."""
    code, lat, _ = to_the_map(page)
    before, place = lat.input_value(), cell(address, code, "geometry")
    box = page.locator(PIN).bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y - 30, steps=5)
    page.mouse.up()
    assert lat.input_value() != before
    preview(page)
    page.get_by_role("button", name="Cancel").click()
    expect(page.locator(PIN)).to_have_count(0)
    expect(page.locator(".moved-line")).to_have_count(0)
    expect(page.get_by_role("button", name="Move on the map")).to_be_focused()
    expect(page.locator(DRAWER)).to_contain_text("Nothing is changed yet.")
    assert cell(address, code, "geometry") == place
    assert history(address) == []


def test_a_finger_drags_it_on_a_phone(browser: Browser, address: str) -> None:
    """Map and pin stay in sight above the panel; a touch drags the pin."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, reduced_motion="reduce"
    )
    page = context.new_page()
    page.goto(address)
    _, lat, _ = to_the_map(page)
    before = lat.input_value()
    box = page.locator(PIN).bounding_box()
    assert box is not None
    assert box["y"] + box["height"] < page.locator(DRAWER).bounding_box()["y"]  # type: ignore[index]
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = context.new_cdp_session(page)
    for name, points in (
        ("touchStart", [(x, y)]),
        ("touchMove", [(x + 8, y - 12)]),
        ("touchMove", [(x + 20, y - 30)]),
        ("touchEnd", []),
    ):
        at = [{"x": left, "y": top} for left, top in points]
        touch.send("Input.dispatchTouchEvent", {"type": name, "touchPoints": at})
    expect(lat).not_to_have_value(before)
    context.close()


def test_a_place_too_far_from_the_river_is_said_where_it_is_dropped(
    page: Page, address: str
) -> None:
    """Its distance and the limit in plain words, at once; it cannot be used; nearer, it can."""
    code, lat, _ = to_the_map(page)
    at_first = lat.input_value()
    lat.fill(f"{float(at_first) + 0.2:.6f}")
    loud = page.locator(DRAWER).get_by_role("alert")
    expect(loud).to_contain_text("Too far: here it would lie")
    expect(loud).to_contain_text("at most 250\u00a0m counts as standing on the river")
    expect(page.get_by_role("button", name="Use this place")).to_be_disabled()
    assert_axe_silent(page)
    lat.fill(f"{float(at_first) + 20 / DEGREE_M:.6f}")
    preview(page)
    expect(page.locator(DRAWER)).not_to_contain_text("Too far")
    expect(page.get_by_role("button", name="Use this place")).to_be_enabled()
    assert history(address, table="offtakes", key=code) == []
