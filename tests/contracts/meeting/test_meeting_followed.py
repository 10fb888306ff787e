"""W22 over HTTP: what phones do is on every wall within a second, as a plain loop finds it."""

from __future__ import annotations

import random
import time
from itertools import pairwise
from statistics import median
from typing import Any

import pytest

from tests.contracts.in_a_hall import BUDGET, funded, in_common, thousandths, told_to_the_lead
from tests.contracts.small_register import client_of
from tests.journeys.meeting.served import MeetingServed

CRITERIA = ("risk", "overlap", "cost")
WITHIN_S = 1.0
PHONES = 30


@pytest.fixture(scope="module")
def columns(on: MeetingServed) -> dict[str, Any]:
    return told_to_the_lead(client_of(on.working))


def some_levels(chance: random.Random) -> dict[str, int]:
    ranges = zip(CRITERIA, ((2, 6), (0, 3), (5, 10)), strict=True)
    return {name: chance.randint(*between) for name, between in ranges}


def test_thirty_phones_are_followed_by_the_wall(on: MeetingServed, columns: dict[str, Any]) -> None:
    """Each PUT answers what that phone funds; the wall has it within a second, and what stays,
    what turns and the middle are those of all phones' levels, worked out here again."""
    chance = random.Random(8)
    phones = [on.joined() for _ in range(PHONES)]
    levels: list[dict[str, int]] = [{} for _ in phones]
    with on.looking() as wall:
        wall.wait(lambda now: now["phones"] >= PHONES)
        for turn in range(2):
            for number, phone in enumerate(phones):
                levels[number] = some_levels(chance)
                told = phone.put("/mine", json={"levels": levels[number], "group": ""}).json()
                assert told["weights"] == thousandths(levels[number])
                assert set(told["inside"]) == funded(columns, levels[number], BUDGET)
            put_at = time.monotonic()
            sets = [funded(columns, each, BUDGET) for each in levels]
            stays, turns = in_common(sets)
            came_at = wall.wait(lambda now: is_of(now, stays, turns))  # noqa: B023
            assert came_at - put_at < WITHIN_S, turn
            assert stays
            assert turns
            assert_middle(wall.now, levels)
    for phone in phones:
        phone.close()


def is_of(now: dict[str, Any], stays: set[str], turns: dict[str, int]) -> bool:
    """Whether a Now tells these."""
    room = now["room"]
    told = {code: count for code, count in turns.items() if 3 <= count <= PHONES - 3}
    return (
        room is not None
        and now["tried"] == PHONES
        and set(room["stays"]) == stays
        and {each["code"]: each["count"] for each in room["turns"]} == told
        and room["few"] == len(turns) - len(told)
    )


def assert_middle(now: dict[str, Any], levels: list[dict[str, int]]) -> None:
    """Compare with medians in whole per cents, and half the phones counted between the ends."""
    weightings = [thousandths(each) for each in levels]
    shares = {name: [each[name] for each in weightings] for name in CRITERIA}
    middle = {name: median(each) for name, each in shares.items()}
    for told in now["room"]["weights"]:
        of = shares[told["name"]]
        exact = 100 * middle[told["name"]] / sum(middle.values())
        assert abs(told["middle"] * 100 - exact) < 1
        assert told["middle"] * 100 == pytest.approx(round(told["middle"] * 100))
        low, high = told["low"] * 1000, told["high"] * 1000
        assert 2 * sum(low <= each <= high for each in of) >= len(of)
        assert (low / 50, high / 50) == pytest.approx((round(low / 50), round(high / 50)))


def test_what_comes_at_once_is_sent_four_times_a_second_at_most(on: MeetingServed) -> None:
    """Of 40 changes in a second a wall is told a few, the last one among them."""
    with on.looking() as wall, on.facilitator() as lead:
        wall.wait(lambda _: True)
        for number in range(40):
            lead.put("/lead/step", json={"step": ("list", "room")[number % 2]})
        lead.put("/lead/step", json={"step": "problem"})
        wall.wait(lambda now: now["step"] == "problem")
        times = [at for at, _, _ in wall.events]
    gaps = [later - sooner for sooner, later in pairwise(times)]
    assert all(gap > 0.2 for gap in gaps[1:]), gaps  # the first is sent at once


def test_a_held_wall_stands_still_while_phones_go_on(on: MeetingServed) -> None:
    """Neither steps nor weights nor joining move it, nor what a new wall is told; let go, it has
    all of them."""
    with on.facilitator() as lead, on.looking() as wall:
        lead.put("/lead/step", json={"step": "room"})
        held = lead.put("/lead/hold", json={"held": True}).json()["wall"]
        with on.joined() as phone:
            told = phone.put(
                "/mine", json={"levels": dict.fromkeys(CRITERIA, 5), "group": "angler"}
            )
            assert told.status_code == 200
            mine = phone.get("/mine").json()
            assert (mine["group"], mine["inside"]) == ("angler", told.json()["inside"])
        after = lead.put("/lead/step", json={"step": "choice"}).json()
        assert after["wall"] == held
        assert (after["step"], after["phones"]) == ("choice", held["phones"] + 1)
        with on.client() as another, on.looking() as later:
            assert another.get("/now").json() == held
            later.wait(lambda now: now == held)
        lead.put("/lead/hold", json={"held": False})
        wall.wait(lambda now: (now["step"], now["held"]) == ("choice", False))
        steps = {now["step"] for _, name, now in wall.events if name == "now" and now["held"]}
        assert steps == {"room"}


def test_a_phone_that_looks_is_counted_as_present(on: MeetingServed) -> None:
    """By its token; gone, it is joined still, and its weights count."""
    with on.facilitator() as lead, on.joined() as phone:
        before = lead.get("/lead").json()
        with on.opened(1, f"X-Slackwater-Phone: {phone.headers['X-Slackwater-Phone']}\r\n") as said:
            assert said == ["200"]
            assert lead.get("/lead").json()["present"] == before["present"] + 1
        end = time.monotonic() + 12
        while lead.get("/lead").json()["present"] > before["present"] and time.monotonic() < end:
            time.sleep(0.2)
        after = lead.get("/lead").json()
        assert (after["present"], after["phones"]) == (before["present"], before["phones"])


def test_streams_end_with_the_service_and_hold_it_up_for_no_longer(
    on: MeetingServed,
) -> None:
    """Told to leave, it has no stream left within a second or two, and nobody is told an end."""
    with on.looking() as wall:
        wall.wait(lambda _: True)
        leaving, on.app.state.leaving = on.app.state.leaving, lambda: True
        try:
            assert wall.over.wait(3)
        finally:
            on.app.state.leaving = leaving
    assert {name for _, name, _ in wall.events} == {"now"}
