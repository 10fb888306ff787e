"""What journeys of field days do on the page: plan, read the order, wait for times."""

from __future__ import annotations

import re
from typing import Any
from uuid import uuid4

import httpx
from playwright.sync_api import Locator, Page, expect

STOPS = ".visit-stop"
SLOW_MS = 180_000
ORDER = "days => days.map(day => [...day.children].map(stop => stop.dataset.code))"


def visits(page: Page, tab: str = "") -> Locator:
    """Open the room of field days, at a tab."""
    page.get_by_role("button", name="Visits", exact=True).click()
    room = page.get_by_role("dialog", name="Visits")
    expect(room).to_be_visible()
    if tab:
        room.get_by_role("button", name=tab, exact=True).click()
    return room


def planned(page: Page, days: int = 2) -> Locator:
    """Plan some days and wait for them; what each could change is not waited for."""
    room = visits(page)
    room.get_by_label("Days", exact=True).fill(str(days))
    room.get_by_role("button", name="Plan the days").click()
    page.locator(STOPS).first.wait_for(timeout=SLOW_MS)
    return room


def order(page: Page) -> list[list[str]]:
    """Give the codes of each day's stops as the list has them."""
    days: list[list[str]] = page.locator(".visit-stops").evaluate_all(ORDER)
    return days


def stops(page: Page) -> list[str]:
    """Give the codes of all stops, day by day."""
    return [code for day in order(page) for code in day]


def times(page: Page) -> list[str]:
    """Wait until no time is stale, and give each stop's."""
    expect(page.locator(".visit-line .stale")).to_have_count(0, timeout=SLOW_MS)
    return page.locator(".visit-line").all_inner_texts()


def run_kept(address: str, *codes: str, name: str = "Monday run") -> str:
    """Keep a run of one day away from the page, and give its id."""
    run_id = str(uuid4())
    days = [{"stops": [{"code": code} for code in codes]}]
    asked = {"id": run_id, "name": name, "on": "2026-03-02", "days": days, "by": "kim"}
    httpx.post(f"{address}/api/runs", json=asked).raise_for_status()
    return run_id


def note(run_id: str, code: str, field: str, typed: str, **told: Any) -> dict[str, Any]:
    """Give a note as a phone sends it."""
    value = told.pop("value", typed)
    return {
        "id": str(uuid4()), "run_id": run_id, "code": code, "field": field, "typed": typed,
        "unit": "", "value": value, "at": "2026-03-02T09:30:00.000+10:00", "phone": "a3f1",
        "after": "", "by": "kim", **told,
    }  # fmt: skip


def send(address: str, *notes: dict[str, Any]) -> None:
    """Send notes as a phone does; every one must be kept."""
    told = httpx.post(f"{address}/api/notes", json={"notes": list(notes)}).json()
    assert len(told["kept"]) == len(notes), told


def minutes_of(words: str) -> int:
    """Read a length such as ``1 h 05`` or ``45 min``."""
    found = re.search(r"(?:(\d+)\s*h\s*)?(\d+)", words)
    assert found
    return 60 * int(found[1] or 0) + int(found[2])
