"""Notes from the field become proposed edits, taken over in one go; what moved is told."""

from __future__ import annotations

import re
from uuid import uuid4

import httpx
from playwright.sync_api import Page, expect

from tests.files.photos import jpeg, picture
from tests.journeys.at_work import cell, history, told_what_moved
from tests.journeys.test_map import assert_axe_silent, codes_listed
from tests.journeys.visits.planning import note, run_kept, send, visits

REASON = "Reason, kept in the history"


def capacity(address: str, code: str) -> float:
    """Give the largest draw in the register, m³/s."""
    value = cell(address, code, "capacity_m3s")
    assert isinstance(value, float)
    return value


def test_notes_are_taken_over_in_one_go_and_the_page_says_what_moved(
    own_page: Page, own_address: str
) -> None:
    """Old stands beside new in the page's unit; one value is changed first; one edit is made."""
    page, address = own_page, own_address
    one, two, three = codes_listed(address)[1:4]
    run_id = run_kept(address, one, two, three)
    draw = capacity(address, one) / 50
    litres = f"{1000 * draw:.3f}"
    send(
        address,
        note(run_id, one, "plate_capacity", litres, unit="L/s", value=float(litres) / 1000),
        note(run_id, one, "depth_today", "95", unit="cm", value=0.95),
        note(run_id, two, "depth_low", "41", unit="cm", value=0.41),
        note(run_id, three, "no_entry", "gate locked"),
    )
    page.keyboard.press("u")  # ML/d to L/s
    room = visits(page, "Notes brought back")
    expect(room).to_contain_text("2 notes of 2 sites would change the register.")
    expect(room).to_contain_text("What else was said of 2 sites stands below.")
    expect(room.get_by_role("region", name=f"Notes of {three}")).to_contain_text(
        re.compile(r"Could not get in: gate locked \(kim")
    )
    plate = room.get_by_role("group", name=f"{one}: Most it can draw, by its plate")
    expect(plate).to_contain_text(f"Typed {litres} L/s by kim")
    expect(plate).to_contain_text(re.compile(r"In the register\s*[\d.]+\sL/s"))
    assert float(plate.get_by_label("Taken over as, L/s").input_value()) == float(litres)
    depth = room.get_by_role("group", name=f"{two}: Depth there at low irrigation-season level")
    expect(plate).to_contain_text("More than 3 times off what the register says")
    tick = room.get_by_label(f"Take over: {one}, Most it can draw")
    expect(tick).not_to_be_checked()
    tick.check()
    depth.get_by_label("Taken over as, m").fill("deep")
    assert_axe_silent(page)
    room.get_by_role("button", name="Take over 2 notes").click()
    expect(depth).to_contain_text("A number, with a point before the decimals.")
    depth.get_by_label("Taken over as, m").fill("0.45")
    room.get_by_role("button", name="Take over 2 notes").click()
    expect(room.get_by_label(REASON)).to_be_focused()
    room.get_by_label(REASON).fill("read at the pumps")
    room.get_by_role("button", name="Take over 2 notes").click()
    expect(room).to_have_count(0)
    line = told_what_moved(page, one)
    assert line.startswith("2 notes taken over.")
    assert re.search(rf"{one}: rank \d+ to \d+", line)
    [edit] = history(address)
    assert (edit["basis"], edit["change_count"]) == ("measured", 2)
    assert "read at the pumps" in edit["why"]
    assert "Monday run" in edit["source"]
    assert cell(address, two, "intake_depth_m") == 0.45
    assert abs(capacity(address, one) - float(litres) / 1000) < 1e-9
    assert httpx.get(f"{address}/api/proposals").json()["proposals"] == []


def test_photos_of_a_site_of_which_nothing_is_proposed_are_shown_and_opened_large(
    own_page: Page, own_address: str
) -> None:
    """Fetched when asked for; one fills the window, and Escape puts that away alone."""
    page, address = own_page, own_address
    one, two = codes_listed(address)[1:3]
    run_id = run_kept(address, one, two)
    taken = [note(run_id, code, "photo", "", value=None, phone=code) for code in (one, two)]
    send(address, *taken, note(run_id, two, "depth_low", "41", unit="cm", value=0.41))
    for each in taken:
        httpx.put(
            f"{address}/api/photos/{uuid4()}",
            params={"note": each["id"], "by": "kim"},
            headers={"Content-Type": "image/jpeg"},
            content=jpeg(picture(1200, 900)),
        ).raise_for_status()
    [alone] = httpx.get(f"{address}/api/proposals").json()["photos"]
    assert (alone["code"], alone["run_name"], len(alone["photos"])) == (one, "Monday run", 1)
    room = visits(page, "Notes brought back")
    site = room.get_by_role("region", name=f"Notes of {one}")
    expect(site).to_contain_text("A photo by kim")
    assert_axe_silent(page)
    site.get_by_role("button", name=f"Show the photo of {one}").click()
    small = site.get_by_role("button", name=f"Photo 1 of {one}: show it large")
    expect(small).to_be_focused()
    small.click()
    large = page.get_by_role("dialog", name=f"Photo 1 of {one}")
    expect(large.get_by_role("img")).to_have_js_property("complete", value=True)
    box = large.get_by_role("img").bounding_box()
    assert box
    assert box["height"] > 500
    assert_axe_silent(page)
    page.keyboard.press("Escape")
    expect(large).to_have_count(0)
    expect(small).to_be_focused()
    expect(room).to_be_visible()


def test_one_note_is_refused_with_a_reason_and_the_others_wait(
    own_page: Page, own_address: str
) -> None:
    """Nothing of the register changes; a refused note is proposed no more."""
    page, address = own_page, own_address
    one, two = codes_listed(address)[1:3]
    run_id = run_kept(address, one, two)
    send(
        address,
        note(run_id, one, "depth_low", "0.9", unit="m", value=0.9),
        note(run_id, two, "depth_low", "41", unit="cm", value=0.41),
    )
    room = visits(page, "Notes brought back")
    expect(room.get_by_label("All of them")).to_be_checked()
    room.get_by_label("All of them").uncheck()
    expect(room.get_by_role("button", name="Refuse 0 notes")).to_be_disabled()
    room.get_by_label(f"Take over: {one}").check()
    room.get_by_role("button", name="Refuse 1 note", exact=True).click()
    expect(room.get_by_label(REASON)).to_be_focused()
    room.get_by_label(REASON).fill("another pump's bay")
    room.get_by_role("button", name="Refuse 1 note", exact=True).click()
    expect(room).to_contain_text("1 note refused; they stay with the run.")
    expect(room).to_contain_text("1 note of 1 site would change the register.")
    assert history(address) == []
    assert [
        each["note"]["code"] for each in httpx.get(f"{address}/api/proposals").json()["proposals"]
    ] == [two]


def test_notes_that_contradict_each_other_are_chosen_from_with_a_reason(
    own_page: Page, own_address: str
) -> None:
    """W19: both values, who and when stand side by side; what was chosen is then proposed."""
    page, address = own_page, own_address
    [code] = codes_listed(address)[1:2]
    run_id = run_kept(address, code)
    send(
        address,
        note(run_id, code, "plate_capacity", "40", unit="L/s", value=0.04),
        note(run_id, code, "plate_capacity", "60", unit="L/s", value=0.06, phone="b2", by="lee"),
    )
    room = visits(page, "Notes brought back")
    choice = room.get_by_role("form", name=f"{code}: Most it can draw, by its plate")
    expect(choice.get_by_role("radio")).to_have_count(2)
    for value, who in (("40", "kim"), ("60", "lee")):  # of one moment: in any order
        expect(choice).to_contain_text(re.compile(f"{value}\\sL/s.*{who}", re.DOTALL))
    assert_axe_silent(page)
    choice.get_by_role("radio", name="60").check()
    choice.get_by_role("button", name="This one stands").click()
    expect(choice).to_contain_text("Write why first")
    choice.get_by_label("Why this one").fill("read twice")
    choice.get_by_role("button", name="This one stands").click()
    expect(room).to_contain_text(f"Chosen for {code}.")
    told = httpx.get(f"{address}/api/proposals").json()
    assert told["contested"] == []
    assert [each["note"]["typed"] for each in told["proposals"]] == ["60"]
    choices = httpx.get(f"{address}/api/notes", params={"run": run_id}).json()["choices"]
    assert [each["why"] for each in choices] == ["read twice"]
