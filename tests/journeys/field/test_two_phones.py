"""W19: two phones write one field: the second is told, both are shown, the choice is kept."""

from __future__ import annotations

import re

import httpx
from playwright.sync_api import Browser, Page, expect

from tests.journeys.field.at_bank import (
    Run,
    all_sent,
    assert_badge_true,
    go_on,
    open_stop,
    phone,
    take_offline,
    type_number,
)
from tests.journeys.test_map import assert_axe_silent


def called(page: Page, run: Run, name: str) -> None:
    """Write a name on a phone's notes."""
    page.goto(f"{run.address}/field#phone")
    page.get_by_label("Name on my notes").fill(name)
    go_on(page)


def test_the_second_phone_sees_both_values_with_who_and_when_and_chooses(
    browser: Browser, run: Run
) -> None:
    """Both offline at one plate; nothing is written over; without a reason there is no choice."""
    with phone(browser, run.address) as kims, phone(browser, run.address) as lees:
        for page, name, typed in ((kims, "kim", "21.6"), (lees, "lee", "250")):
            called(page, run, name)
            take_offline(page, run)
            page.context.set_offline(True)
            open_stop(page, run)
            type_number(page, "plate_capacity", typed, "ML/d" if name == "kim" else "L/s")
            type_number(page, "depth_today", "1.9" if name == "kim" else "190")
            if name == "lee":
                lees.locator("[data-field=depth_today] .press[data-value=cm]").click()
            go_on(page)
        kims.context.set_offline(False)
        all_sent(kims)
        type_number(kims, "plate_capacity", "20")  # read again, before lee's came
        go_on(kims)
        all_sent(kims)
        expect(lees.locator(".conflict")).to_have_count(0)
        lees.context.set_offline(False)
        all_sent(lees)
        box = lees.locator("[data-field=plate_capacity] .conflict")
        when = re.compile(r"\d+ \w+, \d\d:\d\d")
        for side, value, who in (
            ("first", "250 L/s", "this phone (lee)"),
            ("last", "20 ML/d", "kim"),
        ):
            for said in (value, who, when):
                expect(getattr(box.locator(".side"), side)).to_contain_text(said)
        expect(lees.locator("[data-field=depth_today] .conflict")).to_have_count(0)  # 1.9 m is that
        expect(lees.locator("#f-plate_capacity")).to_have_value("250")
        assert_axe_silent(lees)
        box.get_by_role("button", name="Take 20 ML/d").click()
        expect(box).to_contain_text("Say why this one")
        box.get_by_label("Why this one").fill("read twice with a torch")
        box.get_by_role("button", name="Take 20 ML/d").click()
        expect(lees.locator(".conflict")).to_have_count(0)
        assert_badge_true(lees)
        type_number(lees, "plate_capacity", "20.5")
        go_on(lees)
        all_sent(lees)
        expect(lees.locator(".conflict")).to_have_count(0)
    told = httpx.get(f"{run.address}/api/notes", params={"run": run.id}).json()
    [choice] = told["choices"]
    assert (choice["by"], choice["why"]) == ("lee", "read twice with a torch")
    assert told["contested"] == []
    typed = [n["typed"] for n in told["notes"] if n["field"] == "plate_capacity"]
    assert sorted(typed) == ["20", "20.5", "21.6", "250"]


def test_what_the_first_phone_wrote_is_shown_to_the_second_before_it_writes(
    browser: Browser, run: Run
) -> None:
    """With a connection the second knows: its note follows the first, and nothing disagrees."""
    with phone(browser, run.address) as kims, phone(browser, run.address) as lees:
        called(kims, run, "kim")
        open_stop(kims, run)
        type_number(kims, "depth_today", "1.9")
        go_on(kims)
        all_sent(kims)
        called(lees, run, "lee")
        open_stop(lees, run)
        expect(lees.locator("[data-field=depth_today] .beside")).to_contain_text("kim")
        expect(lees.locator("[data-field=depth_today] .beside")).to_contain_text("1.9 m")
        type_number(lees, "depth_today", "2.2")
        go_on(lees)
        all_sent(lees)
        expect(lees.locator(".conflict")).to_have_count(0)
    first, second = run.notes
    assert second["after"] == first["id"]
