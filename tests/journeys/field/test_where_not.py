"""Where a browser keeps no page, or may clear it: said plainly, with paper and GPX in its place."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

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

PLAIN = """Object.defineProperty(globalThis, 'isSecureContext', { value: false });
delete Navigator.prototype.serviceWorker; delete globalThis.caches;
delete Navigator.prototype.locks;
Object.defineProperty(crypto, 'subtle', { value: undefined });
Object.defineProperty(navigator, 'storage', { value: undefined });"""
"""What a page that came over plain HTTP from another machine does without."""
DAYS_LATER = "const real = Date.now; Date.now = () => real.call(Date) + 26 * 3600 * 1000;"
LASTING = "StorageManager.prototype.persisted = async () => true;"


def test_without_https_the_page_says_so_and_offers_paper_and_gpx(
    browser: Browser, run: Run
) -> None:
    """Nothing is said to be held; notes can be written while there is a connection."""
    with phone(browser, run.address) as page:
        page.add_init_script(PLAIN)
        page.goto(f"{run.address}/field")
        expect(page.locator(".notices")).to_contain_text("keeps a page only over HTTPS")
        paper = page.get_by_role("link", name="Printed run sheet")
        assert page.request.get(f"{run.address}{paper.get_attribute('href')}").ok
        gpx = page.get_by_role("link", name="GPX file").get_attribute("href")
        assert b"<gpx" in page.request.get(f"{run.address}{gpx}").body()
        page.get_by_role("button", name="Open it here").click()
        page.get_by_role("link", name="Open", exact=True).click()
        expect(page.locator(".held-all")).to_have_count(0)
        assert_axe_silent(page)
        page.locator(".foot a").click()
        page.locator("[data-field=plate_capacity]").wait_for()
        type_number(page, "depth_today", "1.9")
        go_on(page)
        all_sent(page)
        assert_badge_true(page)
    assert [note["typed"] for note in run.notes] == ["1.9"]


def test_what_the_browser_may_clear_is_warned_of(browser: Browser, run: Run) -> None:
    """Not promised to be kept, or unsent for more than a day: told at the run and at the list."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.context.set_offline(True)
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        for address in (run.at(), f"{run.address}/field#phone"):
            page.goto(address)
            expect(page.locator(".notices")).to_contain_text("gave no promise to keep")
            expect(page.locator(".notices")).not_to_contain_text("have waited since")
        page.add_init_script(DAYS_LATER + LASTING)
        for address in (run.at(), f"{run.address}/field#phone"):
            page.goto(address)
            page.reload()
            expect(page.locator(".notices")).to_contain_text("Notes have waited since")
            expect(page.locator(".notices")).not_to_contain_text("no promise")


def test_a_window_that_keeps_nothing_takes_no_notes(browser: Browser, run: Run) -> None:
    """Said at once, before anything is typed."""
    with phone(browser, run.address) as page:
        page.add_init_script("IDBFactory.prototype.open = () => { throw new Error('no'); };")
        page.goto(f"{run.address}/field")
        expect(page.locator("main")).to_contain_text("keeps nothing for this page")
        expect(page.locator("button")).to_have_count(0)


def test_a_store_that_is_full_is_told_at_once(browser: Browser, run: Run) -> None:
    """What could not be kept is said where it is typed; what was kept before stays."""
    with phone(browser, run.address) as page:
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        page.evaluate(
            """() => { IDBObjectStore.prototype.put = () => {
            throw new DOMException('no room', 'QuotaExceededError'); }; }"""
        )
        page.locator("#f-gauge_reading").fill("Weir 2.31 m")
        expect(page.get_by_role("alert")).to_contain_text("could not be kept on this phone")
        assert_badge_true(page)
        go_on(page)
        page.goto(f"{run.address}/field#phone")  # goes to the service; its answer finds no room
        expect(page.locator(".told").first).to_contain_text("store takes nothing more (no room)")
        [held] = assert_badge_true(page)["notes"]
        assert (held["note"]["typed"], held["state"]) == ("1.9", "waiting")
    [note] = run.notes
    assert note["typed"] == "1.9"
