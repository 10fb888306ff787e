"""W18: written offline, reloaded, lost on the way, sent twice: each note once, in order."""

from __future__ import annotations

import random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Request, Route, expect

from tests.journeys.field.at_bank import (
    Run,
    all_sent,
    assert_badge_true,
    go_on,
    open_stop,
    outbox,
    phone,
    press,
    take_offline,
    type_number,
)

Written = list[tuple[str, str, str]]


def written(notes: list[dict[str, Any]]) -> Written:
    return [(note["code"], note["field"], note["typed"]) for note in notes]


def test_without_a_connection_all_is_there_and_it_is_sent_once_there_is_one(
    browser: Browser, run: Run
) -> None:
    """Offline the page opens, keeps every letter over a reload, and sends in order when it can."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.context.set_offline(True)
        open_stop(page, run)
        type_number(page, "plate_capacity", "21.6", "ML/d")
        press(page, "power", "yes")
        type_number(page, "depth_today", "1.9")
        page.reload()
        page.locator("[data-field=plate_capacity]").wait_for()
        for field, typed in (("plate_capacity", "21.6"), ("depth_today", "1.9")):
            expect(page.locator(f"#f-{field}")).to_have_value(typed)
        expect(page.locator("[data-field=power] [aria-pressed=true]")).to_have_text("yes")
        assert [n["state"] for n in assert_badge_true(page)["notes"]] == ["waiting"] * 3
        assert run.notes == []
        page.context.set_offline(False)
        all_sent(page)
        assert_badge_true(page)
    code = run.codes[0]
    assert written(run.notes) == [
        (code, "plate_capacity", "21.6"), (code, "power", "yes"), (code, "depth_today", "1.9")
    ]  # fmt: skip
    assert run.notes[0]["value"] == pytest.approx(21.6 / 86.4)


def test_a_note_changed_after_it_was_sent_is_another_one_that_follows_it(
    browser: Browser, run: Run
) -> None:
    """Notes are only added: the first stays, the second names it, and nothing typed is none."""
    with phone(browser, run.address) as page:
        open_stop(page, run)
        type_number(page, "depth_today", "1.9")
        go_on(page)
        all_sent(page)
        type_number(page, "depth_today", "2.1")
        type_number(page, "depth_low", "0.8")
        type_number(page, "depth_low", "")
        go_on(page)
        all_sent(page)
        assert_badge_true(page)
    assert [(note["field"], note["typed"]) for note in run.notes] == [
        ("depth_today", "1.9"), ("depth_today", "2.1")
    ]  # fmt: skip
    first, second = run.notes
    assert (first["after"], second["after"]) == ("", first["id"])


class Line:
    """A connection that loses answers and sends some requests twice."""

    def __init__(self, page: Page, chance: random.Random) -> None:
        self._chance = chance
        self.lost = self.doubled = 0
        page.route("**/api/notes", self._carry)

    def _carry(self, route: Route, request: Request) -> None:
        fate = self._chance.random() if request.method == "POST" else 1.0
        if fate < 0.3:
            route.fetch()  # it arrives, and nobody hears so
            self.lost += 1
            route.abort()
        elif fate < 0.6:
            route.fetch()
            self.doubled += 1
            route.fulfill(response=route.fetch())
        else:
            route.continue_()


def rounds(browser: Browser, run: Run, count: int, seed: int) -> None:
    """Write with all that can go wrong, then hold what arrived against what was written."""
    chance = random.Random(seed)
    expected: Written = []
    with phone(browser, run.address) as page:
        take_offline(page, run)
        line = Line(page, chance)
        open_stop(page, run)
        stop = 0
        for number in range(1, count + 1):
            happens = chance.choice(["offline", "online", "reload", "stop", "nothing"])
            if happens in ("offline", "online"):
                page.context.set_offline(happens == "offline")
            elif happens == "reload":
                page.reload()
                page.locator("[data-field=plate_capacity]").wait_for()
            elif happens == "stop":
                stop = chance.randrange(len(run.codes))
                open_stop(page, run, stop)
            field = chance.choice(["plate_capacity", "depth_today", "depth_low", "gauge_reading"])
            unit = "ML/d" if field == "plate_capacity" else ""
            type_number(page, field, str(number), unit)
            expected.append((run.codes[stop], field, str(number)))
            if chance.random() < 0.5:
                go_on(page)
            else:  # what is being typed when the page goes is a note when it comes again
                page.reload()
                page.locator("[data-field=plate_capacity]").wait_for()
            assert_badge_true(page)
        page.context.set_offline(False)
        all_sent(page)
        held = assert_badge_true(page)
        assert line.lost
        assert line.doubled
    assert written([each["note"] for each in held["notes"]]) == expected
    assert written(run.notes) == expected
    assert len({note["id"] for note in run.notes}) == count


def test_ten_rounds_of_all_that_goes_wrong_lose_and_double_nothing(
    browser: Browser, run: Run
) -> None:
    """Offline, reload, lost answers, requests sent twice."""
    rounds(browser, run, 10, seed=5)


@pytest.mark.long
def test_two_hundred_rounds_likewise(browser: Browser, run: Run) -> None:
    """The same for longer."""
    rounds(browser, run, 200, seed=18)


def test_a_photo_is_made_small_says_no_place_and_is_sent_with_its_note(
    browser: Browser, run: Run
) -> None:
    """Kept offline, sent after its note, at most 1600 px, nothing beside the picture."""
    with phone(browser, run.address) as page:
        take_offline(page, run)
        page.context.set_offline(True)
        open_stop(page, run)
        png = page.evaluate(
            """async () => { const c = new OffscreenCanvas(3000, 2000);
            const d = c.getContext('2d'); d.fillStyle = 'green'; d.fillRect(0, 0, 3000, 1000);
            return Array.from(new Uint8Array(await (await c.convertToBlob()).arrayBuffer())); }"""
        )
        page.locator("#f-photo").set_input_files(
            {"name": "plate.png", "mimeType": "image/png", "buffer": bytes(png)}
        )
        expect(page.locator(".photos li")).to_contain_text("not yet sent")
        page.locator("#f-photo").set_input_files(
            {"name": "x.txt", "mimeType": "text/plain", "buffer": b"no photo"}
        )
        expect(page.locator("[data-field=photo]")).to_contain_text("cannot be read as a photo")
        assert len(assert_badge_true(page)["photos"]) == 1
        page.context.set_offline(False)
        all_sent(page)
        expect(page.locator(".photos li")).to_have_text("sent")
        photo = page.evaluate(
            """() => new Promise(done => { const o = indexedDB.open('slackwater-field');
            o.onsuccess = () => { const r = o.result.transaction('photos').objectStore('photos')
            .getAll(); r.onsuccess = () => done(r.result[0].id); }; })"""
        )
        size = page.evaluate(
            """async id => { const b = await createImageBitmap(await (await
            fetch('/api/photos/' + id)).blob()); return [b.width, b.height]; }""",
            photo,
        )
    assert size == [1600, 1067]
    assert [note["field"] for note in run.notes] == ["photo"]


def test_where_a_photo_was_taken_is_kept_only_if_allowed(browser: Browser, run: Run) -> None:
    """Ticked on this phone, the picture says where; the service keeps that."""
    here = {"latitude": -36.25, "longitude": 92.5}
    with phone(browser, run.address, geolocation=here, permissions=["geolocation"]) as page:
        page.goto(f"{run.address}/field#phone")
        page.get_by_label("Photos may say where they were taken").check()
        open_stop(page, run)
        png = page.evaluate(
            """async () => { const c = new OffscreenCanvas(40, 30); c.getContext('2d');
            return Array.from(new Uint8Array(await (await c.convertToBlob()).arrayBuffer())); }"""
        )
        page.locator("#f-photo").set_input_files(
            {"name": "p.png", "mimeType": "image/png", "buffer": bytes(png)}
        )
        expect(page.locator("[data-field=photo]")).to_contain_text("with the place")
        all_sent(page)
        photo = page.evaluate(
            """() => new Promise(done => { const o = indexedDB.open('slackwater-field');
            o.onsuccess = () => { const r = o.result.transaction('photos').objectStore('photos')
            .getAll(); r.onsuccess = () => done(r.result[0].id); }; })"""
        )
        kept = page.request.get(f"{run.address}/api/photos/{photo}").body()
    assert outside_reader(kept) == pytest.approx((-36.25, 92.5), abs=1e-5)


def outside_reader(jpeg: bytes) -> tuple[float, float]:
    """Where a picture says it was taken, by Pillow's reader of Exif."""
    from io import BytesIO

    from PIL import Image

    gps = Image.open(BytesIO(jpeg)).getexif().get_ifd(0x8825)
    lat, lon = (float(d + m / 60 + s / 3600) for d, m, s in (gps[2], gps[4]))
    return (-lat if gps[1] == "S" else lat, -lon if gps[3] == "W" else lon)


def test_notes_saved_as_a_file_are_loaded_by_another_phone_and_count_once(
    browser: Browser, run: Run, tmp_path: Any
) -> None:
    """Saved offline, loaded elsewhere and again; the first phone sends them as well: each once."""
    with phone(browser, run.address) as first, phone(browser, run.address) as second:
        take_offline(first, run)
        first.context.set_offline(True)
        open_stop(first, run)
        type_number(first, "depth_today", "1.9")
        press(first, "power", "no")
        first.goto(f"{run.address}/field#phone")
        with first.expect_download() as saving:
            first.get_by_role("button", name="Save my notes as a file").click()
        file = tmp_path / "notes.json"
        saving.value.save_as(file)
        second.goto(f"{run.address}/field#phone")
        for new in ("2", "0"):
            second.locator("#load-notes").set_input_files(file)
            expect(second.locator("main")).to_contain_text(
                f"2 notes in the file; {new} were not on this phone yet"
            )
        all_sent(second)
        broken = tmp_path / "broken.json"
        broken.write_text(file.read_text("utf-8").replace('"typed"', '"typo"'), "utf-8")
        second.locator("#load-notes").set_input_files(broken)
        expect(second.locator("main")).to_contain_text("damaged; nothing was taken in")
        assert_badge_true(second)
        first.context.set_offline(False)
        all_sent(first)
        assert len(outbox(first)["notes"]) == 2
    assert written(run.notes) == [
        (run.codes[0], "depth_today", "1.9"), (run.codes[0], "power", "no")
    ]  # fmt: skip
