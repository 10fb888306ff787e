"""A field officer's phone: pages of it, runs to open on it, and its own store as it stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import httpx
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.journeys.test_map import PHONE, is_foreign

FORGIVEN = ("Failed to load resource", "net::ERR", "service worker navigation preload")
"""What a browser says of itself where there is no connection, or an answer is lost."""
OUTBOX = """() => new Promise((done, fail) => {
  const opening = indexedDB.open('slackwater-field');
  opening.onerror = () => fail(opening.error);
  opening.onsuccess = () => {
    const db = opening.result;
    const reading = db.transaction(['writing', 'notes', 'photos'], 'readonly');
    const all = ['writing', 'notes', 'photos'].map(each => reading.objectStore(each).getAll());
    reading.oncomplete = () => {
      const badge = document.querySelector('.badge')?.textContent ?? '';
      db.close();
      const [writing, notes, photos] = all.map(each => each.result);
      done({ badge, writing, notes, photos: photos.map(each => each.jpeg.byteLength) });
    };
  };
})"""
MEASURE = [{"input": "draw", "words": "Copy the plate."}]


@dataclass(frozen=True)
class Run:
    """A run on the service, for whoever holds the phone."""

    address: str
    id: str
    codes: tuple[str, ...]

    @property
    def notes(self) -> list[dict[str, Any]]:
        """Its notes as the service tells them."""
        told = httpx.get(f"{self.address}/api/notes", params={"run": self.id}, timeout=60)
        return told.raise_for_status().json()["notes"]

    def at(self, stop: int | None = None) -> str:
        """The address of the run, or of one of its stops."""
        of = "" if stop is None else f"&stop={self.codes[stop]}"
        return f"{self.address}/field#run={self.id}{of}"


def run_asked(codes: Sequence[str], officer: str = "") -> dict[str, Any]:
    """What a run is made of."""
    stops = [{"code": code, "drive_min": 12.0, "drive_km": 9.5, "arrive_min": 12.0,
              "measure": MEASURE} for code in codes]  # fmt: skip
    return {"id": str(uuid4()), "name": "Lower river", "on": "2026-11-30", "officer": officer,
            "days": [{"stops": stops}], "plan": {}, "by": "lead"}  # fmt: skip


def made_run(address: str, stops: int = 3) -> Run:
    """Keep a run at the first offtakes there are."""
    codes = httpx.get(f"{address}/api/offtakes", timeout=120).json()["offtake_id"][:stops]
    asked = run_asked(codes)
    httpx.post(f"{address}/api/runs", json=asked, timeout=60).raise_for_status()
    return Run(address, asked["id"], tuple(codes))


@contextmanager
def phone(browser: Browser, address: str, **how: Any) -> Iterator[Page]:
    """A phone's page, nothing opened; errors and foreign requests fail the test."""
    size = how.pop("size", PHONE)
    context = browser.new_context(viewport=size, has_touch=True, reduced_motion="reduce", **how)
    page, trouble = watched(context, address)
    yield page
    context.close()
    assert not trouble, trouble


def watched(context: BrowserContext, address: str) -> tuple[Page, list[str]]:
    """A page of a phone, and what goes wrong on it."""
    page, trouble = context.new_page(), []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on(
        "console",
        lambda said: (
            trouble.append(said.text)
            if said.type == "error" and not any(each in said.text for each in FORGIVEN)
            else None
        ),
    )
    context.on(
        "request",
        lambda asked: (
            trouble.append(asked.url)
            if is_foreign(asked.url, address) and not asked.url.startswith("blob:")
            else None
        ),
    )
    return page, trouble


def take_offline(page: Page, run: Run) -> None:
    """Take the run offline, and wait for the statement."""
    page.goto(f"{run.address}/field")
    page.get_by_role("button", name="Take offline").click()
    expect(page.locator(".held-all")).to_contain_text("read back just now", timeout=30_000)


def open_stop(page: Page, run: Run, stop: int = 0) -> None:
    """Open a stop, and wait until it is the one that is shown."""
    page.goto(run.at(stop))
    expect(page.locator("h1")).to_contain_text(run.codes[stop])
    page.locator("[data-field=plate_capacity]").wait_for()


def outbox(page: Page) -> dict[str, Any]:
    """The phone's own store, and the badge at the same moment."""
    return page.evaluate(OUTBOX)


def assert_badge_true(page: Page) -> dict[str, Any]:
    """W20: the badge says what the store holds."""
    told = outbox(page)
    writing, notes = told["writing"], [n for n in told["notes"] if n["state"] != "replaced"]
    safe = len(writing) + len(notes)
    unsent = len(writing) + sum(each["state"] != "sent" for each in notes)
    word = "note" if safe == 1 else "notes"
    assert told["badge"] == f"{safe} {word} safe on this phone, {unsent} not yet sent"
    return told


def type_number(page: Page, field: str, typed: str, unit: str = "") -> None:
    """Type a number, its unit chosen first, and wait until the phone's store holds it."""
    card = page.locator(f"[data-field={field}]")
    if unit:
        chosen = card.locator(f".press[data-value='{unit}']")
        if chosen.get_attribute("aria-pressed") != "true":
            chosen.click()
    card.locator(".typed").fill(typed)
    expect(card.locator(".typed")).to_have_value(typed)
    if typed:
        is_kept(page, field, typed)


def press(page: Page, field: str, word: str) -> None:
    """Press one of a field's words."""
    page.locator(f"[data-field={field}] .press[data-value='{word}']").click()


def is_kept(page: Page, field: str, typed: str) -> None:
    """Wait the moment it takes until the phone's store holds what was typed."""
    for _ in range(200):
        told = outbox(page)
        of = [*(each["note"] for each in told["notes"]), *told["writing"]]
        if any((note["field"], note["typed"]) == (field, typed) for note in of):
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"{field} {typed} is not in the store")


def go_on(page: Page) -> None:
    """Leave the field somebody is at, so that what is typed there is a note."""
    page.evaluate("document.activeElement.blur()")


def all_sent(page: Page) -> None:
    """Wait until nothing is left to be sent."""
    expect(page.locator(".badge")).to_contain_text(", 0 not yet sent", timeout=45_000)
