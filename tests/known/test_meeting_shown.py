"""What a hall is shown: the case's own numbers, public ones alone, and sentences that are true."""

from __future__ import annotations

import json
import math
import re
from functools import cache
from itertools import combinations
from typing import Any

import pytest
from shapely import Point

from slackwater.catchment.fields import Visibility
from slackwater.desk.funding import sites_of
from slackwater.desk.listed import list_by_score
from slackwater.desk.meeting.map_shown import DOT_MM
from slackwater.desk.meeting.now import lead_values, mine_values, now_values
from slackwater.desk.meeting.said import (
    SCREENS,
    Concentrated,
    another_said,
    list_said,
    problem_said,
    room_said,
    trial_said,
)
from slackwater.desk.meeting.shown import MeetingShown, Opening, meeting_shown, risk_step
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.showing import Shown
from slackwater.meeting.phones import Place
from slackwater.meeting.room import Room
from tests.catchment.small import small
from tests.contracts.seeded import numbers_from, seeded_small, unlike, view_of
from tests.contracts.small_view import QUOTE
from tests.reports.cases import case_of

OPENING = Opening("K7RM4P", "2026-11-28T09:30:00+00:00", "2026-11-28T15:30:00+00:00")
LEVELS = ((10, 0, 1), (2, 9, 3), (1, 1, 10), (6, 1, 3), (0, 4, 9), (7, 7, 0), (3, 0, 8))
NINE = ((10, 3, 1), (2, 9, 3), (1, 1, 10), (7, 1, 3), (2, 4, 9), (7, 5, 1), (3, 1, 9), (8, 2, 3),
        (4, 4, 5))  # fmt: skip
"""No share of theirs is a multiple of 5 %."""


WHERE = {
    "up": (10.02, 50.015), "creek": (10.03, 49.98), "mid": (10.08, 50.0), "low": (10.25, 50.01),
    "side": (10.15, 50.02),
}  # fmt: skip
KINDS = ("rail_suction", "fixed_suction", "floating_suction", "gravity_channel")
NAMES = ("Lantern River, reach 1 of 2", "Creek", "Lantern River, reach 2 of 2")
OFFTAKES = 15


@cache
def many_shown() -> Shown:
    """Give the small catchment with fifteen further offtakes, three a reach, all unlike."""
    of = small()
    of.set("offtakes", 1, "quote", QUOTE)
    for i in range(OFFTAKES):
        reach = list(WHERE)[i % len(WHERE)]
        of.append(
            "offtakes", 0, offtake_id=f"N{i:02d}", label=f"Further {i}", reach_id=reach,
            chainage_m=str(1000 + 150 * i), kind=KINDS[i % 4], access=("good", "poor")[i % 2],
            capacity_m3s=str(0.05 + 0.13 * (i * 7 % OFFTAKES)), night_use_share=str(0.05 * i),
        )  # fmt: skip
        of.set("offtakes", 3 + i, "position", str(0.4 + 0.1 * (i % 9)))
        of.set("offtakes", 3 + i, "geometry", Point(*WHERE[reach]))
    for i, name in enumerate(NAMES):
        of.set("reaches", i, "name", name)
    return Shown(view_of(of))


@cache
def many(way: str = "score", budget: float = 800_000) -> tuple[CaseShown, MeetingShown]:
    """Give a case of it, opened."""
    case = case_of(many_shown(), budget, way)
    return case, meeting_shown(case, OPENING)


def hall_of(shown: MeetingShown, *levels: tuple[int, ...]) -> Room:
    """Give a room in which phones have set these levels."""
    room = Room(shown.basis)
    for each in levels:
        number = room.join(f"phone {room.changed}")
        room.set_mine(number, dict(zip(shown.basis.criteria, each, strict=True)), "angler")
    return room


def by_hand(case: CaseShown, weights: dict[str, int]) -> set[str]:
    """Give the codes inside as the desk's own list by score has them."""
    evaluation = case.evaluation
    listed = list_by_score(
        evaluation.ranking,
        sites_of(evaluation),
        evaluation.catchment.table("options").keys,
        weights,
        case.trial["budget"],
    )
    codes = evaluation.catchment.table("offtakes").keys
    return {codes[position] for position in listed.picks}


def test_the_meeting_shows_the_case() -> None:
    """Rank, state and the list by score are the case's, row by row; facts count the rows."""
    case, shown = many()
    values = shown.values
    for row, told in zip(case.rows, values["offtakes"], strict=True):
        assert (told["code"], told["rank"], told["by_score"]) == (row.code, row.rank, row.inside)
        assert (told["state"] == "inside") == row.inside
    assert {each["state"] for each in values["offtakes"]} == {"inside", "outside", "not this round"}
    facts = values["facts"]
    assert facts["by_score"] == {
        "inside": sum(row.inside for row in case.rows),
        "benefit_share": case.result["benefit_share"],
    }
    assert facts["best"]["inside"] == sum(each["best"] for each in values["offtakes"])
    assert facts["best"]["benefit_share"] > facts["by_score"]["benefit_share"]
    assert facts["best"]["gap"] == 0.0  # proven
    assert facts["pumps"] + facts["channels"] == facts["offtakes"] == len(case.rows)
    loss = sorted((each["loss_share"] for each in values["offtakes"]), reverse=True)
    few = facts["half_of_loss_at"]
    assert sum(loss[:few]) >= sum(loss) / 2 > sum(loss[: few - 1])
    assert set(values["criteria"][0]) == {"name", "label", "meaning"}
    json.dumps(values)


def test_offtakes_stand_side_by_side_on_the_sheet() -> None:
    """No two of one reach lie upon another, and all lie on the map."""
    _, shown = many()
    drawn, places = shown.values["map"], {}
    for each in shown.values["offtakes"]:
        assert DOT_MM <= each["x_mm"] <= drawn["width_mm"] - DOT_MM
        assert DOT_MM <= each["y_mm"] <= drawn["height_mm"] - DOT_MM
        places.setdefault(each["reach"], []).append((each["x_mm"], each["y_mm"]))
    pairs = [pair for here in places.values() for pair in combinations(here, 2)]
    assert min(math.dist(*pair) for pair in pairs) >= 2 * DOT_MM
    names = [each["name"] for each in drawn["rivers"]]
    assert sorted(names) == ["Creek", "Lantern River", "Lantern River", "Lower", "Side arm"]


def test_a_case_of_the_best_set_has_the_list_by_score_beside_it() -> None:
    """The rows inside are the best set; by score is worked out under the case's own weights."""
    case, shown = many("best")
    score = case.result["by_score"]["benefit_adults"] / case.loss_adults
    assert shown.values["facts"]["by_score"]["benefit_share"] == pytest.approx(score, rel=1e-12)
    told = {each["code"] for each in shown.values["offtakes"] if each["by_score"]}
    assert told == by_hand(case, case.trial["weights"])
    best = {each["code"] for each in shown.values["offtakes"] if each["best"]}
    assert best == {row.code for row in case.rows if row.inside}


def test_what_the_room_shows_follows_from_its_phones() -> None:
    """Stays, turns, trial and every phone's own set, found again one list by score at a time."""
    case, shown = many()
    room = hall_of(shown, *LEVELS)
    room.show_trial(True)
    now = now_values(room.now(), shown)
    mine = [mine_values(room.phone(n + 1), shown) for n in range(len(LEVELS))]
    sets = [by_hand(case, each["weights"]) for each in mine]
    order = {row.code: row.rank for row in case.rows}
    for told, found in zip(mine, sets, strict=True):
        assert told["inside"] == sorted(found, key=order.__getitem__)
    assert set(now["room"]["stays"]) == set.intersection(*sets)
    counts = {code: sum(code in s for s in sets) for code in set.union(*sets)}
    turning = {code for code, count in counts.items() if 3 <= count <= len(sets) - 3}
    assert turning
    told = now["room"]["turns"]
    assert {each["code"] for each in told} == turning
    assert now["room"]["turns_count"] == len(turning)
    assert now["room"]["few"] == sum(k < len(sets) for k in counts.values()) - len(turning)
    assert all(each["count"] == sum(each["code"] in s for s in sets) for each in told)
    nearness = [abs(2 * each["count"] - len(sets)) for each in told]
    assert nearness == sorted(nearness)
    trial = by_hand(case, now["trial"]["weights"])
    inside = {row.code for row in case.rows if row.inside}
    assert set(now["trial"]["joins"]) == trial - inside
    assert set(now["trial"]["leaves"]) == inside - trial
    assert now["room"]["inside_count"] == now["trial"]["inside"] == len(trial)


def test_sentences_are_those_of_the_numbers() -> None:
    """The sentence of each step says the figures that stand beside it, and too few say so."""
    _, shown = many()
    room = hall_of(shown, *LEVELS[:2])
    room.step("room")
    assert plain(now_values(room.now(), shown)["sentence"]).startswith(
        "2 phones have set weights; "
    )
    for each in LEVELS[2:5]:
        levels = dict(zip(shown.basis.criteria, each, strict=True))
        room.set_mine(room.join(str(each)), levels, "")
    now = now_values(room.now(), shown)
    stays = len(now["room"]["stays"])
    assert plain(now["sentence"]) == (
        f"The middle of this room reaches {now['room']['inside_count']} offtakes; {stays} stay "
        "inside under all 5 weightings tried here."
    )
    room.step("choice")
    before = plain(now_values(room.now(), shown)["sentence"])
    share = shown.values["facts"]["benefit_share"]
    assert f"avoids {100 * share:.0f} % of the loss to pumps and channels" in before
    room.show_trial(True)
    now = now_values(room.now(), shown)
    trial = now["trial"]
    assert plain(now["sentence"]) == (
        f"In the trial {moved(len(trial['joins']), len(trial['leaves']))}; it avoids "
        f"{100 * trial['benefit_share']:.0f} % of the loss, the case {100 * share:.0f} %."
    )
    room.agree("trial", "", "", 0)
    agreed = plain(now_values(room.now(), shown)["sentence"])
    assert agreed.startswith(f"Agreed here: the trial, {trial['inside']} offtakes avoiding ")


def test_few_and_none_are_said_as_people_say_them() -> None:
    """One and none have their own words; a share is told once where all kinds lose alike."""
    assert plain(room_said(0, 3, 0, 0)).startswith("Nobody has set weights yet; ")
    assert plain(room_said(1, 3, 0, 0)).startswith("1 phone has set weights; ")
    assert "1 offtake; 1 stays inside under" in plain(room_said(5, 5, 1, 1))
    assert "no offtake; none stays inside under" in plain(room_said(5, 5, 0, 0))
    assert "1 offtake joins and 2 leave" in plain(trial_said(1, 2, 0.1, 0.2))
    assert "nobody joins or leaves" in trial_said(0, 0, 0.1, 0.1)
    one = plain(problem_said(1, "8 %", Concentrated(1, 1.0)))
    assert one == "In the model 1 offtake takes 8 % of young fish adrift."
    none = plain(problem_said(3, "", Concentrated(0, 0.0)))
    assert none == "In the model 3 offtakes take water."
    long = [("Largest draw of the intake, as licensed", 500), ("Lowest cost of all, by year", 500),
            ("Other", 0)]  # fmt: skip
    assert plain(list_said(long, 2, 9, 1e5, "")) == (
        "2 criteria rank 9 offtakes; 100,000 reaches 2."
    )
    one = plain(list_said([("Low cost", 1000)], 2, 9, 1e5, "CDL"))
    assert one == "Low cost ranks 9 offtakes; 100,000 CDL reaches 2."


def test_sentences_of_a_large_river_stand_large_on_the_wall() -> None:
    """Under 98 letters each, with figures as large as they come."""
    usual = [("Entrainment risk", 500), ("Season overlap", 200), ("Low cost", 300)]
    for told in (SCREENS, problem_said(197, "1.7 % to 2.8 %", Concentrated(24, 0.51)),
                 list_said(usual, 92, 197, 2.5e6, "CDL")):  # fmt: skip
        assert len(told) < 98, told
    assert plain(list_said(usual, 92, 197, 2.5e6, "CDL")).startswith("Entrainment risk, season ")


def test_no_phone_s_own_weight_is_in_the_spread() -> None:
    """Of five to nine phones: the ends that are told are nobody's share, half lie within, and the
    middle is in whole per cents."""
    _, shown = many()
    for phones in range(5, 10):
        room = hall_of(shown, *NINE[:phones])
        own = [mine_values(room.phone(n + 1), shown)["weights"] for n in range(phones)]
        told = now_values(room.now(), shown)["room"]["weights"]
        assert round(sum(each["middle"] for each in told), 9) == 1
        for each in told:
            of = [weights[each["name"]] / 1000 for weights in own]
            assert not {each["low"], each["high"]} & set(of)
            assert 2 * sum(each["low"] <= share <= each["high"] for share in of) >= phones
            assert each["middle"] == round(each["middle"], 2)


def test_what_was_agreed_stays_on_the_wall_as_it_was() -> None:
    """Its set and share, whatever trial is shown afterwards; that one is said to be another."""
    _, shown = many()
    room = hall_of(shown, *LEVELS[:5])
    room.step("choice")
    room.show_trial(True)
    trial = now_values(room.now(), shown)["trial"]
    room.agree("trial", "", "", 0)
    agreed = now_values(room.now(), shown)["agreed"]
    assert (agreed["weights"], agreed["inside_count"]) == (trial["weights"], trial["inside"])
    assert agreed["is_trial_shown"]
    assert len(agreed["inside"]) == agreed["inside_count"]
    room.show_trial(False)
    for each in (*LEVELS[5:], (0, 0, 10), (0, 1, 10), (1, 0, 10)):
        levels = dict(zip(shown.basis.criteria, each, strict=True))
        room.set_mine(room.join(str(each)), levels, "")
    room.show_trial(True)
    room.agree("same", "words", "", 1)
    now = now_values(room.now(), shown)
    assert now["agreed"] == {**agreed, "words": "words", "is_trial_shown": False}
    assert now["trial"]["weights"] != agreed["weights"]
    assert now["sentence"] == another_said(
        now["trial"]["inside"], now["trial"]["benefit_share"],
        agreed["inside_count"], agreed["benefit_share"],
    )  # fmt: skip
    room.agree("case", "", "", 2)
    case = now_values(room.now(), shown)["agreed"]
    facts = shown.values["facts"]
    assert (case["inside_count"], case["benefit_share"]) == (
        facts["inside"],
        facts["benefit_share"],
    )
    assert case["inside"] == [each["code"] for each in shown.values["offtakes"]
                              if each["state"] == "inside"]  # fmt: skip


def test_two_openings_have_the_same_best_set() -> None:
    """Worked out anew from the same data, and where it is handed over from the first."""
    first = many()[1]
    case = case_of(Shown(many_shown().view), 800_000, "score")
    second, third = meeting_shown(case, OPENING), meeting_shown(case, OPENING, best=first.best)
    for other in (second, third):
        assert other.best == first.best
        assert other.values["facts"]["best"] == first.values["facts"]["best"]


@pytest.mark.parametrize(
    ("millionths", "step"),
    [(0, 0), (199_999, 0), (200_000, 1), (599_999, 2), (600_000, 3), (799_999, 3), (800_000, 4),
     (1_000_000, 4)],
)  # fmt: skip
def test_risk_has_the_steps_of_the_map_page(millionths: int, step: int) -> None:
    """Five fifths of the scale, the last with its end, as ``web/src/core/risk.ts`` has them."""
    assert risk_step(millionths) == step


@pytest.mark.parametrize("way", ["score", "best"])
def test_a_meeting_tells_nothing_that_is_not_public(way: str) -> None:
    """With a secret in every closed column, none is in what hall, phones and facilitator get."""
    of, planted = seeded_small()
    shown_case = Shown(view_of(of))
    options = {"kept_in": {"A": "a promise SECRET-reason"}} if way == "best" else {}
    case = case_of(shown_case, 150_000, way, **options)
    shown = meeting_shown(case, OPENING)
    room = hall_of(shown, *LEVELS)
    room.set_places(1, [Place(2.0, 3.0, "the weir")])
    room.show_trial(True)
    room.agree("trial", "", "", 0)
    told = everything(room, shown)
    told[0]["map"] = {**told[0]["map"], "rivers": []}  # public, and so many numbers that some fit
    text = json.dumps(told)
    made = numbers_from(shown_case.view)
    for visibility in (Visibility.PRIVATE, Visibility.AGENCY):
        secrets = planted[visibility]
        assert not [each for each in secrets.texts if each in text]
        assert not secrets.found_in(text)
        assert not [each for each in secrets.columns if f'"{each}"' in text]
        figures = {float(each) for each in re.findall(r"-?\d+\.?\d*(?:e-?\d+)?", text)}
        assert not figures & {round(each, 2) for each in unlike(made[visibility])}
    assert "SECRET" not in text
    assert "Program lead" not in text
    assert '"spent"' not in text


def everything(room: Room, shown: MeetingShown) -> list[dict[str, Any]]:
    """Give all that a meeting answers, at every step."""
    told: list[dict[str, Any]] = [dict(shown.values)]
    for step in ("river", "problem", "screens", "list", "room", "choice"):
        room.step(step)
        told += [now_values(room.wall(), shown), lead_values(room.lead(), shown)]
    return told + [mine_values(room.phone(n + 1), shown) for n in range(len(LEVELS))]


def moved(joins: int, leaves: int) -> str:
    """Give "1 offtake joins and 2 leave"."""
    first = f"{joins or 'no'} offtake{'s' * (joins > 1)} join{'s' * (joins < 2)}"
    return f"{first} and {leaves} leave{'s' * (leaves == 1)}"


def plain(words: str) -> str:
    """Give a sentence with plain spaces."""
    return words.replace("\u00a0", " ")
