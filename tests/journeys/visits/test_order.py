"""The order of a run is moved by buttons or by dragging, to the same state."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from tests.journeys.taken_down import ALL_BUT_TILES, bundled, require_nothing_left
from tests.journeys.test_map import COUNT_LISTENERS, DESK, open_page
from tests.journeys.visits.planning import order, planned, times


def drag(page: Page, code: str, behind: str) -> None:
    """Drag a stop by its handle to just behind another."""
    handle = page.locator(f"[data-code={code}] .visit-handle")
    handle.scroll_into_view_if_needed()
    start, end = handle.bounding_box(), page.locator(f"[data-code={behind}]").bounding_box()
    assert start
    assert end
    page.mouse.move(start["x"] + 9, start["y"] + 9)
    page.mouse.down()
    page.mouse.move(start["x"] + 12, start["y"] + 40, steps=3)
    page.mouse.move(end["x"] + 30, end["y"] + end["height"] - 4, steps=4)
    page.mouse.up()


def test_buttons_and_dragging_reach_the_same_order_and_times(page: Page) -> None:
    """W5 of stops: two steps down are a drag two stops down; the service gives the times anew."""
    room = planned(page, 1)
    room.get_by_role("button", name="Stop", exact=True).click()
    first, before = order(page), times(page)
    assert len(first[0]) >= 3
    code, third = first[0][0], first[0][2]
    down = room.get_by_role("button", name=f"{code}: later")
    down.focus()
    page.keyboard.press("Enter")
    expect(down).to_be_focused()
    page.keyboard.press("Enter")
    by_button, button_times = order(page), times(page)
    assert by_button[0][2] == code
    assert button_times != before
    expect(room).to_contain_text("Its order was changed by hand.")
    room.get_by_role("button", name="Back to the order as planned").click()
    assert order(page) == first
    assert times(page) == before
    drag(page, code, behind=third)
    assert order(page) == by_button
    assert times(page) == button_times
    plates = page.locator(".leaflet-stops-pane .visit-plate").all_inner_texts()
    assert plates == [str(n + 1) for n in range(len(first[0]))]


def test_a_stop_goes_to_another_day_and_out_of_the_run(page: Page) -> None:
    """By the choice of its day, past the end of its day by a step, and back by a drag let go.

    What is next is said of the order by hand; what each day buys is the plan's, and says so.
    """
    room = planned(page, 2)
    room.get_by_role("button", name="Stop", exact=True).click()
    [one, two] = order(page)
    code = one[0]
    buys = room.get_by_role("region", name="What each day buys")
    expect(buys).not_to_contain_text("Of the plan as worked out")
    room.get_by_label(f"{code}: day").select_option(label="day 2")
    assert order(page) == [one[1:], [*two, code]]
    times(page)
    for _ in two:
        room.get_by_role("button", name=f"{code}: earlier").click()
    room.get_by_role("button", name=f"{code}: earlier").click()
    assert order(page) == [[*one[1:], code], two]
    times(page)
    handle = page.locator(f"[data-code={code}] .visit-handle")
    handle.scroll_into_view_if_needed()
    handle.hover()
    page.mouse.down()
    page.mouse.move(500, 300)
    page.keyboard.press("Escape")
    page.mouse.up()
    assert order(page) == [[*one[1:], code], two]
    expect(room).to_be_visible()
    room.get_by_role("button", name=f"{code}: take it out").click()
    assert order(page) == [one[1:], two]
    times(page)
    after = room.get_by_role("region", name="Next would be")
    expect(after).to_contain_text(re.compile(rf"{code} fits into day [12] as it is now"))
    expect(buys).to_contain_text("Of the plan as worked out, before its order was changed by hand.")
    room.get_by_role("button", name="Back to the order as planned").click()
    times(page)
    expect(room.locator(".visit-of-plan")).to_have_count(0)


def test_the_room_of_field_days_can_be_taken_down(
    browser: Browser, work_address: str, tmp_path: Path
) -> None:
    """Fifty times opened at every tab and disposed, it leaves no node and no listener."""
    context = browser.new_context(viewport=DESK, bypass_csp=True)
    page = context.new_page()
    page.add_init_script(COUNT_LISTENERS)
    open_page(page, work_address)
    require_nothing_left(page, bundled("mount_visits", tmp_path), "mountVisits", ALL_BUT_TILES)
    context.close()
