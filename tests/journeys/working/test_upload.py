"""A file is looked at before anything changes; faults are listed and marked, refusals are plain."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import httpx
from playwright.sync_api import Page, expect

from tests.journeys.at_work import DRAWER, cell, data, moved
from tests.journeys.conftest import DEMO
from tests.journeys.test_map import assert_axe_silent, codes_listed


def demo_with(folder: Path, name: str, code: str, capacity_m3s: float) -> Path:
    """Give the demo with another draw of one offtake."""
    file = folder / name
    shutil.copy(DEMO, file)
    with sqlite3.connect(file) as book:
        for (trigger,) in book.execute(
            "SELECT name FROM sqlite_master WHERE type='trigger' AND tbl_name='offtakes'"
        ).fetchall():
            book.execute(f'DROP TRIGGER "{trigger}"')  # they index places, with functions of theirs
        book.execute(
            "UPDATE offtakes SET capacity_m3s = ? WHERE offtake_id = ?", (capacity_m3s, code)
        )
    return file


def revision(address: str) -> int:
    return int(httpx.get(f"{address}/api/edition").json()["latest_revision"])


def test_a_file_is_looked_at_and_then_accepted(page: Page, address: str, tmp_path: Path) -> None:
    """What would change is told by table with examples; accepting asks why; then it is shown."""
    code = codes_listed(address)[3]
    data(page, "Upload a file")
    page.get_by_label("Choose a file").set_input_files(demo_with(tmp_path, "new.gpkg", code, 0.5))
    drawer = page.locator(DRAWER)
    expect(drawer).to_contain_text("new.gpkg can be taken in", timeout=60_000)
    expect(page.locator(".upload-difference")).to_contain_text("1 row changed")
    expect(page.locator(".upload-difference")).to_contain_text(f"{code}, capacity_m3s")
    assert_axe_silent(page)
    assert revision(address) == 1
    page.get_by_role("button", name="Accept it").click()
    expect(page.get_by_label("Reason, kept in the history")).to_be_focused()
    page.get_by_label("Reason, kept in the history").fill("the agency's yearly file")
    page.get_by_role("button", name="Accept it").click()
    moved(page)
    assert cell(address, code, "capacity_m3s") == 0.5
    assert revision(address) == 2


def test_faults_are_listed_and_ringed_and_nothing_changes(
    page: Page, address: str, tmp_path: Path
) -> None:
    """A file at fault, one that is none and one of another kind: each refused plainly."""
    code = codes_listed(address)[3]
    data(page, "Upload a file")
    choose = page.get_by_label("Choose a file")
    drawer = page.locator(DRAWER)
    choose.set_input_files(demo_with(tmp_path, "wrong.gpkg", code, -1.0))
    expect(drawer).to_contain_text("cannot be taken in", timeout=60_000)
    expect(page.locator(".edit-findings").first).to_contain_text(f"offtakes {code}")
    expect(page.locator(".flag").first).to_be_visible()
    expect(page.get_by_role("button", name="Accept it")).to_have_count(0)
    assert_axe_silent(page)
    broken = tmp_path / "broken.gpkg"
    broken.write_bytes(b"not a book at all" * 100)
    choose.set_input_files(broken)
    expect(page.locator(".edit-trouble")).to_contain_text("broken.gpkg", timeout=60_000)
    expect(page.locator(".edit-trouble")).to_contain_text("Nothing was changed")
    expect(page.locator(".flag")).to_have_count(0)
    other = tmp_path / "notes.txt"
    other.write_text("hello", "utf-8")
    choose.set_input_files(other)
    expect(page.locator(".edit-trouble")).to_contain_text("notes.txt is none of .gpkg")
    assert revision(address) == 1
    page.keyboard.press("Escape")
    expect(drawer).to_have_count(0)
