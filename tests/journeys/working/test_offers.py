"""Offers are followed up where the offtake stands; who declines is told a reserve for."""

from __future__ import annotations

import re
from typing import Any

import httpx
from playwright.sync_api import Page, expect

from tests.journeys.at_work import (
    DRAWER,
    cell,
    data,
    moved,
    why_opened,
)
from tests.journeys.test_map import assert_axe_silent


def step_form(page: Page) -> Any:
    page.locator(".why-follow summary").click()
    form = page.locator(".follow-form")
    form.wait_for()
    return form


def candidate(page: Page, address: str) -> str:
    """Open the first candidate of the list."""
    told = httpx.get(f"{address}/api/offtakes").json()
    status = dict(zip(told["offtake_id"], told["status"], strict=True))
    for place in range(12):
        code = why_opened(page, place)
        if status[code] == "candidate":
            return code
    raise AssertionError("no candidate among the first")


def test_an_offer_from_made_to_declined_with_its_reserve(page: Page, address: str) -> None:
    """Each step sets where it stands, with day and money; declining says who comes in instead."""
    code = candidate(page, address)
    form = step_form(page)
    form.get_by_label("On", exact=True).fill("2026-03-02")
    form.get_by_label("Works approval").select_option("asked")
    form.get_by_role("button", name="Write it down").click()
    assert f"{code}:" in moved(page)
    assert cell(address, code, "status") == "offered"
    follow = page.locator(".why-follow")
    expect(follow).to_contain_text("Offered on 2 March 2026")
    expect(follow).to_contain_text("Works approval asked for")
    expect(follow).to_contain_text("Next: the landholder's answer")
    form = step_form(page)
    form.get_by_label("Committed").fill("lots")
    form.get_by_role("button", name="Write it down").click()
    expect(form.get_by_label("Committed")).to_have_attribute("aria-invalid", "true")
    form.get_by_label("Committed").fill("")
    form.get_by_label("On", exact=True).fill("2026-04-01")
    form.get_by_label("What happened").select_option("declined")
    expect(page.locator(".follow-reserve")).to_contain_text("are left over", timeout=90_000)
    assert_axe_silent(page)
    assert cell(address, code, "status") == "offered"
    form.get_by_role("button", name="Write it down").click()
    moved(page)
    assert cell(address, code, "status") == "declined"
    expect(follow).to_contain_text("Declined on 1 April 2026")
    expect(follow).to_contain_text("are left over")
    data(page, "Offers")
    row = page.locator(DRAWER).get_by_role("row").filter(has_text=code)
    expect(row).to_contain_text("declined")
    row.get_by_role("button", name=code).click()
    expect(page.locator(".why-code")).to_have_text(code)


def test_pumps_of_one_landholder_go_all_or_none(page: Page, address: str) -> None:
    """Ticking a landholder's pumps asks for the best set with them together."""
    page.get_by_role("radio", name="Best set").click()
    page.get_by_role("button", name="Weights and budget").click()
    page.get_by_text("Conditions of the best set").click()
    group = page.locator(".together")
    box = group.get_by_role("checkbox").first
    codes = re.split(", | and ", group.locator("label").first.inner_text().strip())
    with page.expect_request("**/api/best-set", timeout=60_000) as asked:
        box.check()
    assert len(codes) > 1
    assert asked.value.post_data_json["together"] == [codes]
    expect(page.locator(".fund-bar")).to_contain_text("all or none")
    told = httpx.get(f"{address}/api/offtakes").json()
    holder = dict(zip(told["offtake_id"], told["holder"], strict=True))
    assert len({holder[code] for code in codes}) == 1
    assert "holder" not in httpx.get(f"{address}/api/offtakes?as=public").json()
    assert_axe_silent(page)
    stop = page.get_by_role("button", name="Stop")
    if stop.is_visible():
        stop.click()


def test_committed_money_stands_beside_what_the_list_counts(page: Page, address: str) -> None:
    """Accepted for another sum than is counted: panel and drawer say by how much, and which screen
    is held; before a step is written it says that it stays."""
    code = candidate(page, address)
    form = step_form(page)
    expect(form).to_contain_text("A step stays written")
    form.get_by_role("button", name="Write it down").click()
    moved(page)
    form = step_form(page)
    form.get_by_label("Committed").fill("123456")
    form.get_by_role("button", name="Write it down").click()
    moved(page)
    follow = page.locator(".why-follow")
    words = re.compile(r"123,456 committed, [\d,]+ counted: [\d,]+ (above|below)")
    expect(follow).to_contain_text(words)
    expect(follow).to_contain_text("the best set may give it another")
    data(page, "Offers")
    drawer = page.locator(DRAWER)
    expect(drawer.get_by_role("row").filter(has_text=code)).to_contain_text(words)
    expect(drawer.locator(".follow-ledger")).to_contain_text("The budget is spent on what is")
    expect(drawer).to_contain_text("printed from a saved case")
    assert_axe_silent(page)
