"""The demo as a working database, served for one test, with a page of its lead's."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from uuid import uuid4

import httpx
from playwright.sync_api import Browser, Page

from slackwater.desk.importing import import_catchment
from slackwater.desk.working import open_working
from tests.journeys.conftest import DEMO, serving
from tests.journeys.test_map import ROWS, watched

REFUSED = "Failed to load resource"
"""What the browser says of itself where the service refuses, or an answer is lost."""

DATABASE = "lantern.sqlite"
DRAWER = ".data-drawer"
NEWS = ".news"
STALE = "html.data-stale"


@cache
def demo_folder() -> TemporaryDirectory[str]:
    """Give the folder of a database the demo was imported into, gone at the end of the run."""
    folder: TemporaryDirectory[str] = TemporaryDirectory(prefix="slackwater-demo-")
    import_catchment(DEMO, f"{folder.name}/{DATABASE}")
    return folder


@contextmanager
def at_work(folder: Path) -> Iterator[str]:
    """Serve a fresh copy of the demo's database while the block runs, and give its address."""
    working = open_working(str(shutil.copy(Path(demo_folder().name) / DATABASE, folder)))
    try:
        with serving(working) as here:
            yield here
    finally:
        working.close()


@contextmanager
def lead_at_work(browser: Browser, address: str, size: dict[str, int]) -> Iterator[Page]:
    """Open a lead's page; errors and foreign requests fail, what is refused does not."""
    yield from watched(browser, address, size, REFUSED)


def why_opened(page: Page, place: int = 4) -> str:
    """Open the why panel at a place of the list, and give the code that stands there."""
    page.locator(ROWS).nth(place).click()
    page.locator(".why-chart").wait_for()
    page.locator(".why-follow").wait_for(state="attached")
    return page.locator(".why-code").inner_text()


def form_opened(page: Page, place: int = 4) -> str:
    """Open the form that corrects an offtake, and give its code."""
    code = why_opened(page, place)
    page.get_by_role("button", name="Correct or fill in").click()
    page.locator(".edit-form").wait_for()
    return code


def save(page: Page, reason: str = "read off the plate") -> None:
    """Give a reason and save."""
    page.get_by_label("Reason, kept in the history").fill(reason)
    page.get_by_role("button", name="Save", exact=True).click()


def cell(address: str, code: str, column: str) -> Any:
    """Give a cell of an offtake as it stands in the database."""
    return httpx.get(f"{address}/api/rows/offtakes/{code}").json()["cells"][column]


def history(address: str, **of: str) -> list[dict[str, Any]]:
    """Give past edits, the newest first, those that came with the import left out."""
    edits = httpx.get(f"{address}/api/edits", params=of).json()["edits"]
    return [each for each in edits if each["kind"] != "import"]


def edit_elsewhere(address: str, code: str, column: str, new: Any, by: str = "Ada") -> None:
    """Change a cell as somebody else, away from the page."""
    change = {
        "table": "offtakes", "key": code, "column": column,
        "old": cell(address, code, column), "new": new,
    }  # fmt: skip
    asked = {"id": str(uuid4()), "changes": [change], "why": "seen at the pump", "by": by}
    httpx.post(f"{address}/api/edits", json=asked).raise_for_status()


def data(page: Page, tab: str) -> None:
    """Open one tab of the data drawer."""
    page.get_by_role("button", name="Data", exact=True).click()
    page.locator(".data-nav").get_by_role("button", name=tab).click()


def moved(page: Page) -> str:
    """Wait until the numbers are stale, then new; give the line on what moved."""
    page.locator(STALE).wait_for(state="attached")
    page.locator(STALE).wait_for(state="detached", timeout=60_000)
    line = page.locator(NEWS).filter(has_not_text=re.compile("Working out|Shown are"))
    line.wait_for()
    return line.inner_text()


def told_what_moved(page: Page, code: str) -> str:
    """Wait for the line on what moved at an offtake, however soon the new numbers are there."""
    line = page.locator(NEWS).filter(has_text=f"{code}:")
    line.wait_for(timeout=60_000)
    return line.inner_text()
