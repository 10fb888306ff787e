"""Rows pasted from a spreadsheet are seen as changes first, then written as one edit."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.journeys.at_work import (
    DRAWER,
    cell,
    data,
    edit_elsewhere,
    history,
    moved,
)
from tests.journeys.test_map import assert_axe_silent, codes_listed


def pasted(page: Page, *lines: str) -> None:
    """Put cells in the drawer and ask what would change."""
    page.get_by_label("Cells with their header line").fill("\n".join(lines))
    page.get_by_role("button", name="See what would change").click()


def test_pasted_rows_are_put_right_and_applied_as_one_edit(page: Page, address: str) -> None:
    """An unknown column is named with the nearest, a fault stands in its cell, text stays text."""
    one, two, same = codes_listed(address)[3:6]
    draw = cell(address, same, "capacity_m3s")
    head = "offtake_id\tcapacity_m3s\tsource\tCapacity"
    data(page, "Paste rows")
    pasted(
        page,
        head,
        f"{one}\t-1\t=1+1\t3",
        f"{two}\t0.27\tmeter book\t3",
        f"{same}\t{draw}\t{cell(address, same, 'source')}\t3",
    )
    drawer = page.locator(DRAWER)
    expect(drawer).to_contain_text("No column is called “Capacity”")
    expect(drawer).to_contain_text("The nearest is capacity_m3s")
    expect(page.locator(".paste-wrong")).to_have_count(1)
    expect(page.locator(".paste-wrong th")).to_have_text(one)
    expect(page.get_by_role("button", name="Apply as one edit")).to_be_hidden()
    assert_axe_silent(page)
    pasted(
        page, head, f"{one}\t0.2\t=1+1\t3", f"{two}\t0.27\tmeter book\t3",
        f"{same}\t{draw}\t{cell(address, same, 'source')}\t3",
    )  # fmt: skip
    expect(drawer).to_contain_text("4 changes in 2 rows. 1 row stays as it is.")
    expect(page.locator(".paste-table")).to_contain_text("=1+1")
    page.get_by_role("button", name="Apply as one edit").click()
    expect(page.get_by_label("Reason, kept in the history")).to_be_focused()
    page.get_by_label("Reason, kept in the history").fill("meter books of the season")
    page.get_by_role("button", name="Apply as one edit").click()
    line = moved(page)
    assert one in line
    assert two in line
    [edit] = history(address)
    assert (edit["why"], edit["change_count"]) == ("meter books of the season", 4)
    assert cell(address, one, "source") == "=1+1"
    assert cell(address, two, "capacity_m3s") == 0.27


def test_what_somebody_changed_meanwhile_is_compared_again(page: Page, address: str) -> None:
    """Nothing is written over: the preview comes anew with the values that stand now."""
    code = codes_listed(address)[3]
    data(page, "Paste rows")
    pasted(page, "offtake_id,capacity_m3s", f"{code},0.2")
    page.get_by_label("Reason, kept in the history").fill("season")
    edit_elsewhere(address, code, "capacity_m3s", 0.7)
    page.get_by_role("button", name="Apply as one edit").click()
    expect(page.locator(".paste-table")).to_contain_text("0.7")
    assert len(history(address)) == 1
    page.get_by_role("button", name="Close", exact=True).last.click()
    data(page, "Paste rows")
    expect(page.get_by_label("Cells with their header line")).to_have_value(
        re.compile(f"{code},0.2")
    )
