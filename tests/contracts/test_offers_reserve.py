"""Who comes in when one declines: the others stay as promised, the money free is spent best."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from starlette.testclient import TestClient

from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.evaluation import evaluate
from slackwater.desk.funding_desk import Asked
from slackwater.desk.map_view import MapView
from slackwater.desk.offers_since import Since, offers_since
from slackwater.desk.opening import open_catchment
from slackwater.desk.reserve import Declining, reserve
from slackwater.desk.showing import Shown
from slackwater.desk.working import Working
from slackwater.errors import NoSetPossible, UsageError
from slackwater.progress import Progress
from tests.contracts.small_register import ended
from tests.contracts.test_cases import asked as case_asked
from tests.contracts.test_cases import saved
from tests.contracts.test_offers import done
from tests.reference.catchments import generate

SEEDS = 24
Picks = dict[int, int]


def shown_of(folder: Path) -> tuple[Shown, float]:
    """An invented catchment, and what every site's dearest screen would cost."""
    evaluation = evaluate(open_catchment(folder).catchment)
    priced = np.where(evaluation.sizing.feasible, evaluation.costs.capital, 0.0)
    view = MapView(evaluation, (), None, datetime(2026, 1, 2, tzinfo=UTC))
    return Shown(view), float(priced.max(axis=1).sum())


def answer(shown: Shown, asked: Asked, who: Declining) -> dict[str, Any]:
    return reserve(shown, asked, who)(Progress(), lambda _: None)


def enumerated(shown: Shown, asked: Asked, stays: Picks, out: set[int]) -> float:
    """The most that those who stay and any others who are not out gain within the budget."""
    evaluation = shown.view.evaluation
    round_ = round_of(evaluation, asked.budget, asked.conditions)
    free = [
        (p, site) for p, site in enumerate(round_.sites)
        if site.eligible and p not in stays and p not in out
    ]  # fmt: skip
    held = sum(round_.sites[p].cost[o] for p, o in stays.items())
    sets = []
    for options in itertools.product(*[(-1, *site.cost) for _, site in free]):
        more = {p: o for (p, _), o in zip(free, options, strict=True) if o >= 0}
        cost = held + sum(round_.sites[p].cost[o] for p, o in more.items())
        if cost <= asked.budget * (1 + EQUAL):
            sets.append({**stays, **more})
    return float(gains_of(evaluation, Progress()).benefit(sets).max())


@pytest.mark.long
def test_who_comes_in_is_the_best_of_all_who_could(tmp_path: Path) -> None:
    """Over invented catchments, whoever declines: what is reached is the enumerated best."""
    tried = entered = 0
    for seed in range(SEEDS):
        folder = tmp_path / str(seed)
        generate(folder, seed)
        shown, most = shown_of(folder)
        asked = Asked(0.4 * most)
        codes = shown.view.catchment.table("offtakes").keys
        try:
            now = dict(shown.funding.answer(asked, Progress()).certificate.picks)
        except NoSetPossible:
            continue
        for gone in list(now)[:2]:
            stays = {p: o for p, o in now.items() if p != gone}
            told = answer(shown, asked, Declining(codes[gone]))
            best = enumerated(shown, asked, stays, {gone})
            assert told["benefit_adults"] == pytest.approx(best, rel=1e-8, abs=1e-9), seed
            assert told["spent"] <= asked.budget * (1 + EQUAL)
            assert [each["code"] for each in told["leaves"]] == [codes[gone]]
            names = [each["code"] for each in told["enters"]]
            assert codes[gone] not in names
            assert not {codes[p] for p in stays}.intersection(names)
            worth = [each["gain_adults"] / each["cost"] for each in told["enters"]]
            assert worth == sorted(worth, reverse=True)
            tried, entered = tried + 1, entered + bool(names)
    assert tried > SEEDS / 2
    assert entered > 2


@pytest.mark.long
def test_first_reserves_are_the_next_for_the_money(tmp_path: Path) -> None:
    """Nobody declines: nobody comes or goes; first reserves are the most gain per money outside."""
    checked = 0
    for seed in range(SEEDS):
        folder = tmp_path / str(seed)
        generate(folder, seed)
        shown, most = shown_of(folder)
        asked = Asked(0.1 * most)
        evaluation = shown.view.evaluation
        try:
            told = answer(shown, asked, Declining(""))
            now = dict(shown.funding.answer(asked, Progress()).certificate.picks)
        except NoSetPossible:
            continue
        assert (told["enters"], told["leaves"]) == ([], [])
        gains = gains_of(evaluation, Progress())
        sites = round_of(evaluation, asked.budget, Conditions()).sites
        have = float(gains.benefit([now])[0])
        worth = {}
        for p, site in enumerate(sites):
            if p not in now and site.eligible:
                best = max(
                    (float(gains.benefit([{**now, p: o}])[0]) - have) / cost
                    for o, cost in site.cost.items()
                )
                if best > 1e-12:
                    worth[site.offtake_id] = best
        first = [each["gain_adults"] / each["cost"] for each in told["first_reserves"]]
        assert first == pytest.approx(sorted(worth.values(), reverse=True)[:3], rel=1e-6)
        checked += len(first)
    assert checked > 8


def test_worked_by_hand(client: TestClient) -> None:
    """A costs 22,000, B 40,000: 45,000 buys one of the two; if it declines, the other comes in."""
    case = saved(client, case_asked(way="best", budget=45_000.0))
    (first,) = [row["code"] for row in case["result"]["rows"] if row["state"] == "inside"]
    other = {"A": "B", "B": "A"}[first]
    told = ended(client, "/api/reserve", {"budget": 45_000.0, "code": first})["answer"]
    assert [each["code"] for each in told["enters"]] == [other]
    assert [each["code"] for each in told["leaves"]] == [first]
    assert told["spent"] == pytest.approx({"A": 22_000.0, "B": 40_000.0}[other])
    assert told["sentence"].startswith(f"Without {first} ")
    assert f"; {other} for " in told["sentence"]
    again = ended(client, "/api/reserve", {"budget": 45_000.0, "code": other})
    assert (again["state"], again["error"]["code"]) == ("failed", "usage_error")
    assert "is not in this set" in again["error"]["message"]


@pytest.mark.parametrize(
    ("seed", "share"), [(17, 0.4), (42, 0.5), (60, 0.3), (67, 0.4), (101, 0.3)]
)
def test_who_came_in_since_stays(tmp_path: Path, seed: int, share: float) -> None:
    """One who was promised money since is held in, so that its money is not spent twice."""
    generate(tmp_path / "river", seed)
    shown, most = shown_of(tmp_path / "river")
    asked, evaluation = Asked(share * most), shown.view.evaluation
    codes = evaluation.catchment.table("offtakes").keys
    now = dict(shown.funding.answer(asked, Progress()).certificate.picks)
    first, gone = list(now)[:2]
    came = codes.index(answer(shown, asked, Declining(codes[first]))["enters"][0]["code"])
    since = Since({codes[first]: "it is declined"}, frozenset({codes[came]}))
    told = answer(shown, asked, Declining(codes[gone], since=since))
    stays = {p: o for p, o in now.items() if p not in (first, gone)}
    stays[came] = int(evaluation.best_option[came])
    best = enumerated(shown, asked, stays, {first, gone})
    assert told["benefit_adults"] == pytest.approx(best, rel=1e-8, abs=1e-9)
    assert {each["code"] for each in told["leaves"]} == {codes[first], codes[gone]}
    assert codes[came] not in {each["code"] for each in told["enters"]}


def test_what_became_of_offers_since_is_read_from_todays_data(
    client: TestClient, working: Working
) -> None:
    """Offered since: came in; declined or unwilling: refused; offered before: neither."""
    before = working.of().view.evaluation
    done(client, "A", "offered", "2026-03-01")
    found = offers_since(before, working.register.raw())
    assert (found.refused, found.came_in) == ({}, frozenset({"A"}))
    done(client, "A", "declined", "2026-03-02")
    found = offers_since(before, working.register.raw())
    assert (found.refused, found.came_in) == ({"A": "it is declined"}, frozenset())


def test_who_declined_before_does_not_come_in(client: TestClient) -> None:
    """Asked of a case, whoever has declined by today's data is no reserve, and leaves as well."""
    case = saved(client, case_asked(way="best", budget=62_000.0))
    done(client, "B", "declined", "2026-03-01")
    told = ended(client, f"/api/reserve?case={case['id']}", {"budget": 62_000.0, "code": "A"})[
        "answer"
    ]
    assert told["enters"] == []
    assert {each["code"] for each in told["leaves"]} == {"A", "B"}


def test_the_list_by_score_has_reserves_too(client: TestClient) -> None:
    """Given the rows the list by score funds, those stay and the best of the others comes in."""
    codes = client.get("/api/offtakes").json()["offtake_id"]
    rows = [codes.index("B")]
    body = {"budget": 45_000.0, "code": "B", "way": "score", "beside": rows}
    told = ended(client, "/api/reserve", body)["answer"]
    assert [each["code"] for each in told["enters"]] == ["A"]
    body["beside"] = [codes.index("C")]
    assert ended(client, "/api/reserve", body)["error"]["code"] == "usage_error"


def test_a_group_leaves_as_one(working: Working) -> None:
    """Where one of a group declines, all of it goes, and nobody of it comes back in."""
    asked = Asked(62_000.0, Conditions(together=(("A", "B"),)))
    told = answer(working.of(), asked, Declining("A"))
    assert {each["code"] for each in told["leaves"]} == {"A", "B"}
    assert told["enters"] == []


def test_who_is_not_there_is_refused(working: Working) -> None:
    """An unknown code and a wrong choice are refused before any work begins."""
    for asked, code, words in (
        (Asked(1.0), "Nowhere", "no such offtake"),
        (Asked(1.0, Conditions(kept_in={"A": " "})), "A", "written reason"),
        (Asked(-1.0), "A", "budget"),
    ):
        with pytest.raises(UsageError, match=words):
            reserve(working.of(), asked, Declining(code))
