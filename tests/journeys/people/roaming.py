"""A page in a browser of its own, everything on it pressed once, and all that it was told kept."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page

from tests.conftest import CHROMIUM, QUIET
from tests.journeys.test_map import DESK, ROWS

SOON_MS = 1500
MOST_PRESSED = 60
PRESSED = "button, [role=tab], summary, a[href^='#']"
LEFT_ALONE = ("sign out", "delete", "take away", "save", "lock", "remove", "end")
STORED = """async () => {
    const told = [JSON.stringify({...localStorage}), JSON.stringify({...sessionStorage}),
        document.cookie, document.title, location.href, document.referrer, String(history.length)];
    for (const { name } of await indexedDB.databases()) {
        const base = await new Promise((ok, no) => {
            const open = indexedDB.open(name);
            open.onsuccess = () => ok(open.result);
            open.onerror = () => no(open.error);
        });
        for (const each of base.objectStoreNames) {
            const all = base.transaction(each).objectStore(each).getAll();
            const kept = await new Promise((ok) => (all.onsuccess = () => ok(all.result)));
            told.push(JSON.stringify(kept));
        }
        base.close();
    }
    for (const name of await caches.keys()) {
        for (const asked of await (await caches.open(name)).keys()) {
            told.push(asked.url, await (await (await caches.open(name)).match(asked)).text());
        }
    }
    return told;
}"""


@dataclass
class Told:
    """What a browser was told: answers, what stood on the page, what it stored, its console."""

    folder: Path
    answers: list[str] = field(default_factory=list)
    page: list[str] = field(default_factory=list)
    stored: list[str] = field(default_factory=list)
    console: list[str] = field(default_factory=list)
    dialogs: list[str] = field(default_factory=list)
    pressed: int = 0

    def on_disk(self) -> bytes:
        """Give every byte that the browser wrote down; read once it has ended."""
        files = [each for each in self.folder.rglob("*") if each.is_file()]
        return b"\n".join(each.read_bytes() for each in files)


@contextmanager
def own_browser(browser: Browser, folder: Path) -> Iterator[tuple[BrowserContext, Told]]:
    """Give a browser that keeps its things in a folder, and what it is told."""
    told = Told(folder)
    context = browser.browser_type.launch_persistent_context(
        str(folder), executable_path=CHROMIUM, args=QUIET, viewport=DESK  # type: ignore[arg-type]
    )  # fmt: skip
    try:
        yield context, told
    finally:
        context.close()


def roamed(context: BrowserContext, told: Told, address: str) -> Page:
    """Open the page, each offtake and everything that can be pressed; keep what is seen."""
    page = context.pages[0]
    page.on("response", lambda answer: told.answers.append(_of(answer)))
    page.on("console", lambda said: told.console.append(said.text))
    page.on("pageerror", lambda error: told.console.append(str(error)))
    page.on("dialog", lambda asked: (told.dialogs.append(asked.message), asked.dismiss()))
    page.goto(address)
    page.locator(ROWS).first.wait_for()
    look(page, told)
    for row in range(min(3, page.locator(ROWS).count())):
        with suppress(Error):
            page.locator(ROWS).nth(row).click(timeout=SOON_MS)
            page.locator(".why-chart").wait_for(timeout=5000)
        look(page, told)
        press_all(page, told)
    told.stored += page.evaluate(STORED)
    return page


def press_all(page: Page, told: Told) -> None:
    """Press all that can be seen, but what would end the visit or ask to write."""
    for number in range(page.locator(PRESSED).count()):
        button = page.locator(PRESSED).nth(number)
        with suppress(Error):
            name = button.get_attribute("aria-label", timeout=200) or button.inner_text(timeout=200)
            if not button.is_visible() or name.strip().lower().startswith(LEFT_ALONE):
                continue
            if told.pressed >= MOST_PRESSED:
                return
            button.click(timeout=400)
            told.pressed += 1
            page.wait_for_timeout(120)
            look(page, told)
            page.keyboard.press("Escape")


def look(page: Page, told: Told) -> None:
    """Keep all that stands on the page, titles and values of fields too."""
    told.page += [page.content(), page.inner_text("body"), page.title(), page.url]
    told.page += page.locator("input, textarea").evaluate_all("all => all.map(e => e.value)")


def _of(answer: Any) -> str:
    with suppress(Error):
        return f"{answer.url}\n{answer.headers}\n{answer.text()}"
    return str(answer.url)
