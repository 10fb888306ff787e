"""W20: the badge equals the outbox at all times; "taken offline" only when all of it is held."""

from __future__ import annotations

import re

import httpx
import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.journeys.field.at_bank import (
    Run,
    all_sent,
    assert_badge_true,
    go_on,
    open_stop,
    phone,
    press,
    take_offline,
    type_number,
)

CACHES = """async () => { const all = []; for (const name of await caches.keys())
for (const asked of await (await caches.open(name)).keys()) all.push(new URL(asked.url).pathname);
return all.sort(); }"""
DROP = """async part => { for (const name of await caches.keys()) { const shelf = await
caches.open(name); for (const asked of await shelf.keys()) if (asked.url.includes(part)) await
shelf.delete(asked); } }"""
SPOIL = """async part => { for (const name of await caches.keys()) { const shelf = await
caches.open(name); for (const asked of await shelf.keys()) if (asked.url.includes(part)) await
shelf.put(asked, new Response('/* cut off */')); } }"""


def test_the_badge_equals_the_outbox_after_every_step(browser: Browser, run: Run) -> None:
    """Letter by letter, offline and on, refused, corrected, taken back, reloaded."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        assert_badge_true(page)
        page.context.set_offline(True)
        open_stop(page, run)
        page.locator("#f-depth_today").focus()
        for letter in "1,9":
            page.keyboard.type(letter)
            assert_badge_true(page)
        go_on(page)
        expect(page.locator("[data-field=depth_today] .fault").first).to_contain_text("Write 1.9")
        press(page, "power", "yes")
        press(page, "power", "no")
        press(page, "power", "no")  # pressed again: nothing is said
        assert_badge_true(page)
        type_number(page, "plate_capacity", "250", "L/s")
        assert_badge_true(page)
        page.reload()
        page.locator("[data-field=plate_capacity]").wait_for()
        assert len(assert_badge_true(page)["writing"]) == 1  # what cannot be understood waits
        page.context.set_offline(False)
        expect(page.locator(".badge")).to_have_text("2 notes safe on this phone, 1 not yet sent")
        assert_badge_true(page)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        all_sent(page)
        assert len(assert_badge_true(page)["notes"]) == 2
    assert [note["typed"] for note in run.notes] == ["250", "1.9"]


def test_what_the_service_refuses_stays_and_says_why(browser: Browser, run: Run) -> None:
    """It is not sent, not lost, told at the field and in the list, and can be tried again."""

    def refuse(route: Route) -> None:
        [note] = route.request.post_data_json["notes"]
        refused = [{"id": note["id"], "why": "there is no such run here"}]
        route.fulfill(json={"kept": [], "known": [], "conflicts": [], "refused": refused})

    with phone(browser, run.address) as page:
        open_stop(page, run)
        page.route("**/api/notes", refuse)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        field = page.locator("[data-field=depth_today]")
        expect(field).to_contain_text("Not taken: there is no such run here")
        assert [n["state"] for n in assert_badge_true(page)["notes"]] == ["refused"]
        page.unroute("**/api/notes")
        page.locator(".head-badge").click()
        expect(page.locator(".outbox")).to_contain_text("Not taken: there is no such run here")
        page.get_by_role("button", name="Try the refused ones again").click()
        all_sent(page)
        assert_badge_true(page)
    assert [note["typed"] for note in run.notes] == ["1.9"]


def test_a_refused_note_written_anew_takes_its_place(browser: Browser, run: Run) -> None:
    """The refused one is kept on the phone, no longer counted, and never sent."""

    def refuse(route: Route) -> None:
        notes = route.request.post_data_json["notes"]
        refused = [{"id": note["id"], "why": "no"} for note in notes]
        route.fulfill(json={"kept": [], "known": [], "conflicts": [], "refused": refused})

    with phone(browser, run.address) as page:
        open_stop(page, run)
        page.route("**/api/notes", refuse)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        expect(page.locator("[data-field=depth_today]")).to_contain_text("Not taken: no")
        page.unroute("**/api/notes")
        type_number(page, "depth_today", "2.0")
        go_on(page)
        all_sent(page)
        *before, last = (each["state"] for each in assert_badge_true(page)["notes"])
        assert (set(before), last) == ({"replaced"}, "sent")
    assert [note["typed"] for note in run.notes] == ["2.0"]


def shell_parts(address: str) -> list[str]:
    """What the page is made of, by the page itself."""
    html = httpx.get(f"{address}/field").text
    return re.findall(r'(?:href|src)="(/[^"]+)"', html)


@pytest.mark.parametrize("part", ["field-", "field_look-", "icon_192"])
def test_one_part_that_does_not_come_and_it_is_not_said(
    browser: Browser, run: Run, part: str
) -> None:
    """Aborted on its way: not taken offline, in words; once it comes, said."""
    with phone(browser, run.address) as page:
        page.goto(f"{run.address}/field")
        page.get_by_role("button", name="Take offline").wait_for()
        page.wait_for_function("async () => !!(await navigator.serviceWorker.ready).active")
        page.evaluate(DROP, part)
        page.context.route(f"**/assets/{part}*", lambda route: route.abort())
        page.get_by_role("button", name="Take offline").click()
        expect(page.locator(".held-not")).to_contain_text("1 of 8 parts of the page are not on")
        expect(page.locator(".held-all")).to_have_count(0)
        page.context.unroute(f"**/assets/{part}*")
        page.get_by_role("button", name="Take offline").click()
        expect(page.locator(".held-all")).to_contain_text("read back just now")
        assert set(shell_parts(run.address)) <= set(page.evaluate(CACHES))


def test_what_was_cleared_or_cut_off_is_noticed_when_it_is_opened_again(
    browser: Browser, run: Run
) -> None:
    """The statement is made of what is read back now, not of what was fetched once."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        for harm in (SPOIL, DROP):
            page.evaluate(harm, "field_look-")
            page.goto(run.at())
            page.reload()
            expect(page.locator(".held-not")).to_contain_text("1 of 8 parts of the page")
            expect(page.locator(".held-all")).to_have_count(0)
            page.get_by_role("button", name="Take offline again").click()
            expect(page.locator(".held-all")).to_contain_text("3 sites")


def test_the_worker_keeps_the_page_and_no_answer_of_the_service(browser: Browser, run: Run) -> None:
    """In the browser's caches lies the shell alone; data lie in the page's own store."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        all_sent(page)
        kept = page.evaluate(CACHES)
    assert "/field" in kept
    assert not [path for path in kept if path.startswith(("/api", "/print", "/files"))]
    assert len(kept) == 8


def test_a_pack_whose_answer_is_cut_off_takes_nothing_offline(browser: Browser, run: Run) -> None:
    """The pack does not come whole: nothing is said to be held."""
    with phone(browser, run.address) as page:
        page.goto(f"{run.address}/field")
        page.route("**/pack", lambda route: route.fulfill(body='{"run": {', status=200))
        page.get_by_role("button", name="Take offline").click()
        expect(page.locator(".held-not")).to_contain_text("Not taken offline")
        expect(page.get_by_role("link", name="Open", exact=True)).to_have_count(0)


def test_a_press_is_not_lost_where_the_list_of_runs_comes_anew(browser: Browser, run: Run) -> None:
    """A slow answer arrives after the press: what came of the press stays told."""
    asked: list[Route] = []

    def hold_second(route: Route) -> None:
        asked.append(route)
        if len(asked) != 2:
            route.continue_()

    with phone(browser, run.address) as page:
        page.route("**/api/runs", hold_second)
        page.route("**/pack", lambda route: route.fulfill(body='{"run": {', status=200))
        page.goto(f"{run.address}/field")
        take = page.get_by_role("button", name="Take offline")
        take.wait_for()
        # The page asks again once it knows of the connection, or is told of one.
        while len(asked) < 2:
            page.evaluate("dispatchEvent(new Event('offline'))")
            page.wait_for_timeout(20)
        take.click()
        asked[1].continue_()
        expect(page.locator(".held-not")).to_contain_text("Not taken offline")
        page.evaluate("dispatchEvent(new Event('offline'))")
        page.wait_for_timeout(300)
        expect(page.locator(".held-not")).to_contain_text("Not taken offline")


def test_with_the_service_gone_altogether_the_page_opens_with_its_run(
    browser: Browser, run: Run
) -> None:
    """Not a switch in the browser: every request to the service fails."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.context.route("**/*", lambda route: route.abort())
        page.context.set_offline(True)
        page.goto(run.at())
        expect(page.locator(".card.next")).to_contain_text(run.codes[0])
        expect(page.locator(".held-all")).to_contain_text("3 sites")
        assert_sketch(page)


def assert_sketch(page: Page) -> None:
    """Rivers and every stop are drawn from what is on the phone."""
    expect(page.locator(".sketch-river")).to_have_count(1)
    expect(page.locator(".sketch-stop")).to_have_count(3)
