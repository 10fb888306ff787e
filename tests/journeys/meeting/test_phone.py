"""A phone in the hall: its own weights, what they fund, a place it marks, and coming back."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest
from playwright.sync_api import Browser, Locator, Page, Request, expect

from tests.journeys.at_work import REFUSED
from tests.journeys.meeting.at_desk import EITHER, either_or
from tests.journeys.meeting.served import (
    MeetingServed,
    a_working,
    serving_meetings,
    shared_case,
)
from tests.journeys.test_map import PHONE, guarded

START = {"risk": 5, "overlap": 2, "cost": 3}
"""The weights of the case, 500, 200 and 300 thousandths, in whole steps."""
SCRIPT = "<script>document.title = 'taken'</script> the <b>cod hole</b>"


@pytest.fixture(scope="module")
def on(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MeetingServed]:
    """A meeting on a case that can pay for A or for B, not for both."""
    with either_or(tmp_path_factory.mktemp("phone")) as on:
        yield on


@contextmanager
def phone(browser: Browser, on: MeetingServed, opened: bool = True) -> Iterator[Page]:
    """Give a phone's page in the meeting; errors and foreign requests fail, refusals do not."""
    with guarded(browser, on.address, PHONE, REFUSED) as page:
        if opened:
            join(page, on)
        yield page


def join(page: Page, on: MeetingServed) -> None:
    """Open the meeting, and wait until this phone is in it."""
    page.goto(on.phone)
    page.wait_for_function(
        "code => localStorage.getItem('slackwater meeting ' + code)", arg=on.code
    )
    expect(page.locator(".wall-part")).to_be_visible()


def kept(page: Page, on: MeetingServed) -> dict[str, Any]:
    """What the browser keeps of the meeting."""
    text = page.evaluate("code => localStorage.getItem('slackwater meeting ' + code)", on.code)
    return dict(json.loads(text))


def mine(page: Page, on: MeetingServed) -> dict[str, Any]:
    """What the service knows of this phone."""
    with on.client(**{"X-Slackwater-Phone": kept(page, on)["phone"]}) as client:
        return dict(client.get("/mine").raise_for_status().json())


def of(page: Page, name: str) -> Locator:
    """The card of one criterion."""
    return page.locator(f".weigh[data-criterion={name}]")


def type_levels(page: Page, levels: Mapping[str, int]) -> None:
    """Type levels into the boxes, those above 0 first, since something has to count."""
    for name in sorted(levels, key=lambda each: -levels[each]):
        of(page, name).locator(".dial-box").fill(str(levels[name]))
        page.keyboard.press("Enter")


def settled(page: Page) -> str:
    """Wait until what is told is of the newest weights, and give the sentence."""
    expect(page.locator(".result.stale")).to_have_count(0, timeout=20_000)
    return plain(page.locator(".result-words").inner_text())


def plain(words: str) -> str:
    """Give words with ordinary spaces."""
    return " ".join(words.split())


def codes(page: Page, *stands: str) -> list[str]:
    """The offtakes listed, group by group: under yours alone, the agency's alone, under both."""
    page.locator(".list-group .sites").last.wait_for(state="attached")
    of_stand = ".list-group[data-stand={}] li".format
    rows = [row for each in stands for row in page.locator(of_stand(each)).all()]
    return [str(each.get_attribute("data-code")) for each in rows]


def by_pointer(card: Locator) -> None:
    """Set 8 by a click on the slider."""
    slider = card.get_by_role("slider")
    box = slider.bounding_box()
    assert box is not None
    slider.click(position={"x": 15 + 0.8 * (box["width"] - 30), "y": box["height"] / 2})


def by_keys(card: Locator) -> None:
    """Set 8 by Home and eight arrows."""
    slider = card.get_by_role("slider")
    slider.press("Home")
    for _ in range(8):
        slider.press("ArrowRight")


def by_buttons(card: Locator) -> None:
    """Set 8 from 5 by buttons, one too many and back."""
    for _ in range(4):
        card.get_by_role("button", name="one more").click()
    card.get_by_role("button", name="one less").click()


def by_typing(card: Locator) -> None:
    """Type 8."""
    card.locator(".dial-box").fill("8")
    card.locator(".dial-box").press("Enter")


WAYS: tuple[Callable[[Locator], None], ...] = (by_pointer, by_keys, by_buttons, by_typing)


def test_slider_keys_buttons_and_box_reach_the_same_state(
    browser: Browser, on: MeetingServed
) -> None:
    """W5: on the page, in the browser's store and at the service; untouched or withdrawn nothing
    is tried; what cannot be taken from a box is said, and put back."""
    with phone(browser, on) as page:
        assert mine(page, on)["levels"] is None
        expect(page.locator(".whose span:visible")).to_contain_text("the agency’s weights")
        states = []
        for way in WAYS:
            way(of(page, "risk"))
            expect(of(page, "risk").get_by_role("slider")).to_have_attribute(
                "aria-valuetext", "8 of 10"
            )
            told = settled(page)
            levels = {**START, "risk": 8}
            assert mine(page, on)["levels"] == kept(page, on)["levels"] == levels
            words = [plain(each) for each in page.locator(".weigh-share").all_inner_texts()]
            states.append((told, words, page.locator(".dial-box").evaluate_all(
                "all => all.map(each => each.value)"), codes(page, "own", "both")))  # fmt: skip
            page.get_by_role("button", name="Back to the agency’s weights").click()
            expect(of(page, "risk").locator(".dial-box")).to_have_value("5")
        assert states == [states[0]] * len(WAYS)
        assert states[0][1] == ["Counts 62 %.", "Counts 15 %.", "Counts 23 %."]  # 8, 2, 3 of 13
        type_levels(page, {"risk": 3, "overlap": 0, "cost": 0})
        of(page, "risk").get_by_role("slider").press("Home")
        told = of(page, "risk").locator(".told")
        expect(told).to_contain_text("Something has to count")
        for typed in ("99", "-3", "many", "7.5", ""):
            of(page, "risk").locator(".dial-box").fill(typed)
            page.keyboard.press("Enter")
            expect(told).to_contain_text(f"“{typed}” is no whole" if typed else "An empty box is")
            expect(of(page, "risk").locator(".dial-box")).to_have_value("1")
        settled(page)
        page.get_by_role("button", name="Do not count mine").click()
        expect(page.locator(".whose span:visible")).to_contain_text("Nothing of yours counts")
        expect(page.locator(".weights-told")).to_contain_text("does not count any more")
        assert settled(page).startswith("The agency’s weights reach")
        page.wait_for_timeout(500)
        assert mine(page, on)["levels"] is kept(page, on)["levels"] is None
        page.get_by_role("button", name="Count the agency’s weights as mine").click()
        settled(page)
        assert mine(page, on)["levels"] == START


def recomputed(on: MeetingServed, levels: Mapping[str, int]) -> set[str]:
    """Who is funded by score, worked out plainly from the exported table.

    Weights are whole thousandths by largest remainder; down the list each is taken whose cost
    still fits.
    """
    table = httpx.get(f"{on.address}/api/offtakes", timeout=60, trust_env=False).json()
    total = sum(levels.values())
    parts = {name: 1000 * level / total for name, level in levels.items()}
    weights = {name: int(part) for name, part in parts.items()}
    names = list(levels)
    by_remainder = sorted(names, key=lambda each: (weights[each] - parts[each], names.index(each)))
    for name in by_remainder[: 1000 - sum(weights.values())]:
        weights[name] += 1
    score = [
        sum(weights[name] * table[name][row] for name in names) for row in range(table["count"])
    ]
    left, inside = EITHER, set()
    for row in sorted(range(table["count"]), key=lambda r: (-score[r], table["tie_order"][r])):
        cost = table["fund_cost"][row]
        if cost is not None and cost <= left:  # None: built already
            left -= cost
            inside.add(table["offtake_id"][row])
    return inside


def test_the_set_shown_is_a_plain_recomputation(browser: Browser, on: MeetingServed) -> None:
    """List, sentence and map have the set that the table gives under these weights; yours alone
    stands first, and any offtake is found with where it stands."""
    sets = set()
    with phone(browser, on) as page:
        ranked = on.static()["offtakes"]
        agencys = {each["code"] for each in ranked if each["state"] == "inside"}
        for levels in (
            {"risk": 10, "overlap": 0, "cost": 0},
            {"risk": 0, "overlap": 0, "cost": 10},
            {"risk": 1, "overlap": 7, "cost": 1},
            {"risk": 4, "overlap": 3, "cost": 5},
        ):
            type_levels(page, levels)
            told, wanted = settled(page), recomputed(on, levels)
            assert set(mine(page, on)["inside"]) == wanted
            in_order = [each["code"] for each in ranked]
            for stand, which in (
                ("own", wanted - agencys), ("agencys", agencys - wanted), ("both", wanted & agencys)
            ):  # fmt: skip
                assert codes(page, stand) == [each for each in in_order if each in which]
            drawn = page.locator(".dot-inside").evaluate_all("all => all.map(e => e.dataset.code)")
            assert set(drawn) == wanted
            assert told.startswith(f"Your weights reach {len(wanted)} offtake")
            assert ("none is" in told) == (not wanted & agencys)
            for code in in_order[:3]:
                page.get_by_label("Find an offtake").fill(f" {code.lower()} ")
                stands = STANDS[code in wanted, code in agencys]
                expect(page.locator(".find-told")).to_have_text(re.compile(f"{code}: ({stands})"))
            opener = page.locator(".find-part .site")
            opener.click()
            expect(page.locator(".find-part .site-why")).to_contain_text("in the agency’s order")
            sets.add(frozenset(wanted))
        page.get_by_role("button", name="On the map").click()
        expect(page.locator(".ground .name-told")).to_have_text(in_order[2])
        assert "large" in str(page.locator(".map-box").get_attribute("class"))
    assert len(sets) > 1, "every weighting funds the same, which tests nothing"


STANDS = {
    (True, True): "inside under both",
    (True, False): "inside under yours alone",
    (False, True): "inside the agency’s list alone",
    (False, False): "outside under both|built",
}
"""Where an offtake is said to stand, inside under one's own weights and in the agency's list."""


def sent(page: Page, path: str) -> list[dict[str, Any]]:
    """Bodies of what the page sends to an address, from now on."""
    bodies: list[dict[str, Any]] = []

    def hear(asked: Request) -> None:
        if urlsplit(asked.url).path.endswith(path) and asked.method in ("PUT", "POST"):
            bodies.append(asked.post_data_json)

    page.on("request", hear)
    return bodies


def test_a_phone_off_the_net_for_a_minute_returns_to_its_weights(
    browser: Browser, on: MeetingServed
) -> None:
    """W22: it says since when, keeps what is moved, and sends the newest once; a reload too."""
    with phone(browser, on, opened=False) as page:
        page.clock.install()
        join(page, on)
        type_levels(page, {"risk": 6})
        settled(page)
        page.route("**/api/meet/**", lambda route: route.abort())
        page.clock.fast_forward(30_000)  # the stream has been silent for too long
        page.clock.fast_forward(5_000)
        expect(page.locator(".result")).to_contain_text("Not connected since")
        levels = {"risk": 7, "overlap": 9, "cost": 1}
        type_levels(page, levels)
        page.clock.fast_forward(25_000)
        expect(page.locator(".result")).to_contain_text("before your last move")
        assert kept(page, on)["levels"] == levels
        token, puts, joins = kept(page, on)["phone"], sent(page, "/mine"), sent(page, "/join")
        page.unroute_all()
        puts.clear()
        page.clock.fast_forward(10_000)
        settled(page)
        expect(page.locator(".result")).not_to_contain_text("Not connected")
        page.clock.run_for(10_000)
        assert puts == [{"levels": levels, "group": ""}]
        assert joins == []
        page.reload()
        expect(of(page, "overlap").locator(".dial-box")).to_have_value("9")
        assert settled(page).startswith("Your weights reach")
        assert mine(page, on)["levels"] == levels
        assert kept(page, on)["phone"] == token


def test_after_the_service_starts_again_a_phone_joins_again_by_itself(
    browser: Browser, tmp_path: Path
) -> None:
    """Nobody touches it: weights, group and places are there again, and it counts once."""
    with a_working(tmp_path) as working, ExitStack() as open_until_end:
        case_id = shared_case(working, EITHER)
        with serving_meetings(working) as (address, app):
            asked = {"case_id": case_id}
            told = httpx.post(f"{address}/api/meetings", json=asked, timeout=60).json()
            on = MeetingServed(address, told["code"], told["key"], case_id, working, app)
            page = open_until_end.enter_context(guarded(browser, address, PHONE, REFUSED))
            join(page, on)
            type_levels(page, {"cost": 8})
            page.get_by_role("radio", name="Angler").check()
            mark(page, "A", "here")
            settled(page)
            token = kept(page, on)["phone"]
        with serving_meetings(working, urlsplit(address).port or 0), on.facilitator() as lead:
            page.wait_for_function(
                "([code, token]) => !['', token].includes("
                "JSON.parse(localStorage.getItem('slackwater meeting ' + code)).phone)",
                arg=[on.code, token],
            )
            page.wait_for_timeout(500)
            seen = lead.get("/lead").json()
            assert mine(page, on)["levels"] == {**START, "cost": 8}
            assert (seen["phones"], seen["tried"], seen["groups"]["angler"]) == (1, 1, 1)
            assert [each["words"] for each in seen["places"]] == ["here"]
            open_until_end.close()


def mark(page: Page, code: str, words: str) -> None:
    """Mark the place of an offtake, chosen from the list."""
    part = page.locator(".places-part")
    if part.get_attribute("open") is None:
        part.locator("summary").click()
    value = part.locator("option", has_text=f"{code},").get_attribute("value")
    part.get_by_label("Place", exact=True).select_option(value=value)
    expect(part.locator(".told")).to_have_text(f"Chosen: at offtake {code}.")
    part.get_by_label("What matters there").fill(words)
    part.get_by_role("button", name="Mark this place").click()


def test_a_place_marked_stays_text_and_goes_to_the_facilitator_alone(
    browser: Browser, on: MeetingServed
) -> None:
    """By a tap or from the list, three at most, removable; a group can be taken back too."""
    with phone(browser, on) as page, on.facilitator() as lead:
        mark(page, "A", SCRIPT)
        expect(page.locator(".marked li")).to_contain_text(SCRIPT)
        assert page.locator(".marked :is(script, b)").count() == 0
        box = page.locator(".ground").bounding_box()
        assert box is not None
        page.locator(".ground").click(position={"x": box["width"] / 4, "y": box["height"] / 3})
        page.get_by_role("button", name="Mark this place").click()
        mark(page, "B", "")
        expect(page.get_by_role("button", name="Mark this place")).to_be_hidden()
        expect(page.locator(".places-part")).to_contain_text("Remove one to mark another")
        page.wait_for_timeout(400)
        places = lead.get("/lead").json()["places"]
        assert [each["words"] for each in places] == [SCRIPT, "", ""]
        map_mm = on.static()["map"]
        assert places[1]["x_mm"] == pytest.approx(map_mm["width_mm"] / 4, abs=0.5)
        assert places[1]["y_mm"] == pytest.approx(map_mm["height_mm"] / 3, abs=0.5)
        assert SCRIPT[:8] not in httpx.get(f"{on.api}/now").text
        page.get_by_role("button", name="Remove place 2").click()
        for name, group in (("Irrigator", "irrigator"), ("I’d rather not say", "")):
            page.get_by_role("radio", name=name).check()
            page.wait_for_timeout(500)
            assert mine(page, on)["group"] == group
        assert [each["words"] for each in lead.get("/lead").json()["places"]] == [SCRIPT, ""]
        assert page.title().startswith(on.static()["catchment"])
