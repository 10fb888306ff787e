"""Long work through the API: started, looked at, stopped, refused; its answer is fund's own."""

from __future__ import annotations

import time
from threading import Event
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk.best_funding import fund
from slackwater.desk.long_work import LongWorks, State, Values
from slackwater.desk.map_view import MapView
from slackwater.desk.showing import AsRead
from slackwater.errors import Busy
from slackwater.progress import Progress
from tests.contracts.small_view import small_view

HERE = "http://127.0.0.1"
AMPLE = 1e6


@pytest.fixture(scope="module")
def view() -> MapView:
    return small_view()


@pytest.fixture(scope="module")
def client(view: MapView) -> TestClient:
    return TestClient(create_app(AsRead(view)), base_url=HERE)


def ended(client: TestClient, kind: str, body: dict[str, Any]) -> dict[str, Any]:
    """Start work and wait for its end."""
    started = client.post(f"/api/{kind}", json=body)
    assert started.status_code == 202, started.text
    work: dict[str, Any] = started.json()
    end = time.monotonic() + 60
    while work["state"] == "working" and time.monotonic() < end:
        work = client.get(f"/api/work/{work['id']}?wait_s=1").json()
    return work


def test_the_best_set_is_the_command_lines(client: TestClient, view: MapView) -> None:
    """Set, money, benefit and bound come as `slackwater fund` gives them."""
    work = ended(client, "best-set", {"budget": AMPLE, "beside": [0]})
    answer, told = work["answer"], fund(view.evaluation, AMPLE)
    assert work["state"] == "done"
    assert answer["final"] is True
    codes = view.catchment.table("offtakes").keys
    options = view.catchment.table("options").keys
    chosen = zip(answer["rows"], answer["options"], answer["costs"], strict=True)
    assert [(codes[r], options[o], c) for r, o, c in chosen] == list(told.best.chosen)
    assert answer["benefit_adults"] == pytest.approx(told.best.benefit_adults, rel=1e-9)
    assert answer["upper_bound_adults"] == pytest.approx(told.certificate.upper_bound, rel=1e-9)
    assert answer["beside"]["count"] == 1
    assert 0 < answer["beside"]["benefit_adults"] <= answer["benefit_adults"] * (1 + 1e-9)


def test_hand_choices_are_obeyed(client: TestClient) -> None:
    """What is left out by hand is not in the set; what is kept in is."""
    free = ended(client, "best-set", {"budget": AMPLE})["answer"]["rows"]
    assert free
    codes = client.get("/api/offtakes").json()["offtake_id"]
    left = ended(client, "best-set", {"budget": AMPLE, "left_out": {codes[free[0]]: "a reason"}})
    assert free[0] not in left["answer"]["rows"]
    kept = ended(client, "best-set", {"budget": AMPLE, "kept_in": {codes[free[0]]: "a reason"}})
    assert free[0] in kept["answer"]["rows"]


def test_groups_are_obeyed_and_said(client: TestClient) -> None:
    """One left out keeps its group out; the answer names each group and what coming once saves."""
    codes = client.get("/api/offtakes").json()["offtake_id"]
    asked = {"budget": AMPLE, "together": [["B", "A"]]}
    inside = ended(client, "best-set", asked)["answer"]
    pair = [codes.index("B"), codes.index("A")]
    assert inside["together"] == [{"rows": pair, "inside": True, "saved": 0.0}]  # B has a quote
    assert set(pair) <= set(inside["rows"])
    out = ended(client, "best-set", {**asked, "left_out": {"A": "a reason"}})["answer"]
    assert out["together"][0]["inside"] is False
    assert not set(pair) & set(out["rows"])
    curve = ended(client, "curve", asked)["answer"]  # knows no groups
    assert curve == ended(client, "curve", {"budget": AMPLE})["answer"]


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ({"budget": 1.0, "kept_in": {"A": " "}}, "written reason"),
        ({"budget": 1.0, "kept_in": {"C": "I want it"}}, "C cannot be kept in: the land"),
        ({"budget": 1.0, "left_out": {"Nowhere": "gone"}}, "Nowhere"),
        ({"budget": 1.0, "district_most": {"Atlantis": 0.5}}, "Atlantis"),
        ({"budget": 1.0, "together": [["A"]]}, "two offtakes or more"),
        ({"budget": 1.0, "together": [["A", "C"]]}, "C cannot go together in A, C: the landholder"),
        ({"budget": 1.0, "beside": [77]}, "row"),
        ({"budget": -1.0}, "budget"),
        ({"budget": 1.0, "kept_inn": {}}, "kept_inn"),
    ],
)
def test_what_cannot_be_asked_is_refused_at_once(
    client: TestClient, body: dict[str, Any], words: str
) -> None:
    """No work begins; the refusal says what is wrong in the one shape of errors."""
    answer = client.post("/api/best-set", json=body)
    assert answer.status_code == 400
    assert words in answer.json()["error"]["message"]


def test_a_clash_is_named_with_what_is_short(client: TestClient) -> None:
    """Where rules clash the work fails, naming each rule and the money it lacks."""
    work = ended(client, "best-set", {"budget": 1.0, "kept_in": {"A": "we promised"}})
    assert work["state"] == "failed"
    assert work["answer"] is None
    assert work["error"]["code"] == "no_set_possible"
    assert work["error"]["clash"][0]["rule"] == "kept"
    assert work["error"]["clash"][0]["short_by"] > 0


def test_work_that_is_not_known_is_not_found(client: TestClient) -> None:
    """An id nobody was given names nothing, to look at or to stop."""
    assert client.get("/api/work/guess").status_code == 404
    assert client.delete("/api/work/guess").status_code == 404


def test_a_foreign_page_starts_nothing(client: TestClient) -> None:
    """A request that another page sends by itself is refused; the own page's is not."""
    for origin, status in (("http://evil.example", 403), (HERE, 202), ("null", 403)):
        answer = client.post("/api/best-set", json={"budget": 1.0}, headers={"Origin": origin})
        assert answer.status_code == status, origin


def test_news_are_never_kept(client: TestClient) -> None:
    """Looking twice at work gives what holds now: no tag, no kept answer."""
    work = client.post("/api/best-set", json={"budget": AMPLE}).json()
    states = [client.get(f"/api/work/{work['id']}?wait_s=5") for _ in range(3)]
    assert states[-1].json()["state"] == "done"
    assert all("etag" not in each.headers for each in states)


def stubborn(progress: Progress, begun: Event) -> Values:
    """Work without end that checks in."""
    progress.expect(1)
    begun.set()
    while True:
        time.sleep(0.01)
        progress.advance(0)


def test_work_stops_when_told_and_makes_room() -> None:
    """As much as may be at once is done; more is refused until something is stopped."""
    works, begun = LongWorks(at_once=1), Event()
    work = works.start("best-set", lambda progress, _: stubborn(progress, begun))
    assert begun.wait(5)
    assert work.done_of_total == (0, 1)
    with pytest.raises(Busy):
        works.start("best-set", lambda progress, _: stubborn(progress, begun))
    work.stop()
    work.wait(2)
    assert work.state is State.STOPPED
    again = works.start("best-set", lambda _, tell: tell({"first": 1}) or {"last": 2})
    again.wait(5)
    assert (again.state, again.answer) == (State.DONE, {"last": 2})


def test_a_first_answer_is_news() -> None:
    """Who waits hears of a first answer before the work is done, and of the end."""
    works, go = LongWorks(), Event()

    def work(_: Progress, tell: Any) -> Values:
        tell({"first": 1})
        assert go.wait(5)
        return {"last": 2}

    started = works.start("best-set", work)
    started.wait(5)
    assert (started.state, started.answer) == (State.WORKING, {"first": 1})
    go.set()
    started.wait(5)
    assert (started.state, started.answer) == (State.DONE, {"last": 2})


def test_an_unforeseen_error_tells_nothing_of_inside() -> None:
    """Work that breaks says so without details."""
    works = LongWorks()

    def broken(_: Progress, __: Any) -> Values:
        raise ZeroDivisionError("inside")

    work = works.start("best-set", broken)
    work.wait(5)
    assert (work.state, work.failure, work.answer) == (State.FAILED, None, None)


def test_the_curve_stands_under_its_bound_and_above_no_other_order_at_its_own(
    client: TestClient, view: MapView
) -> None:
    """Each budget's best set gains at most its bound, and so does any other order's set."""
    answer = ended(client, "curve", {"budget": AMPLE})["answer"]
    best = answer["best"]
    assert len(answer["budgets"]) > 50
    assert answer["budgets"] == sorted(answer["budgets"])
    for share, upper in zip(best["benefit_share"], best["upper_share"], strict=True):
        assert 0 <= share <= upper * (1 + 1e-9)
    assert len(answer["others"]) == 4
    told = 0
    for other in answer["others"]:
        for share, upper in zip(other["benefit_share"], best["upper_share"], strict=True):
            told += share is not None
            assert share is None or share <= upper * (1 + 1e-9) + 1e-12
    assert told >= 40
    listed = answer["priority"]["adults_per_1000"]
    assert listed == sorted(listed, reverse=True)
    assert set(answer["priority"]["rows"]) <= set(range(len(view.catchment.table("offtakes"))))


def test_how_sure_counts_every_offtake(client: TestClient, view: MapView) -> None:
    """Trials and weightings are counted a row; shares and years come with them."""
    answer = ended(client, "how-sure", {"budget": 30_000.0})["answer"]
    count = len(view.catchment.table("offtakes"))
    assert len(answer["inside"]) == len(answer["funded"]) == count
    assert all(0 <= inside <= answer["trials"] for inside in answer["inside"])
    assert all(0 <= funded <= answer["weightings"] for funded in answer["funded"])
    assert answer["inside"][2] == answer["funded"][2] == 0  # C is declined
    assert answer["benefit"]["low"] <= answer["benefit"]["median"] <= answer["benefit"]["high"]
    assert [each["year"] for each in answer["by_year"]] == view.catchment.records.years.tolist()
    assert answer["sensitivity"]


def test_what_would_bring_it_in_does(client: TestClient) -> None:
    """At the least budget said the offtake is in the best set; below what it needs it is not."""
    codes = client.get("/api/offtakes").json()["offtake_id"]
    for row, code in enumerate(codes[:2]):
        asked = {"budget": 1_000.0}
        entry = ended(client, "entry", {**asked, "code": code})["answer"]
        assert (entry["row"], entry["inside"]) == (row, False)
        assert entry["sentence"]
        rich = ended(client, "best-set", {"budget": entry["least_budget"]})["answer"]
        assert row in rich["rows"]
    declined = ended(client, "entry", {**asked, "code": codes[2]})["answer"]
    assert declined["least_budget"] is None
    assert "not willing" in declined["sentence"]
    assert client.post("/api/entry", json={"budget": 1.0, "code": "none"}).status_code == 400


def test_half_done_work_frees_the_processor_within_two_seconds(client: TestClient) -> None:
    """Told at half of its trials to stop, it has, and the process rests, two seconds later."""
    work = client.post("/api/how-sure", json={"budget": 29_000.0}).json()
    end = time.monotonic() + 120
    while work["done"] < 0.5 * max(work["total"], 1) and time.monotonic() < end:
        assert work["state"] == "working"
        work = client.get(f"/api/work/{work['id']}?wait_s=0.05").json()
    client.delete(f"/api/work/{work['id']}")
    stopped = client.get(f"/api/work/{work['id']}?wait_s=2").json()
    assert stopped["state"] == "stopped"
    assert stopped["answer"] is None
    before = time.process_time()
    time.sleep(0.5)
    assert time.process_time() - before < 0.25


def test_along_the_curve_every_order_obeys_the_hand_choices(client: TestClient) -> None:
    """With an offtake left out by hand no other order's set gains more than the bound either."""
    codes = client.get("/api/offtakes").json()["offtake_id"]
    for choice in ({"left_out": {codes[0]: "withdrew"}}, {"kept_in": {codes[1]: "promised"}}):
        answer = ended(client, "curve", {"budget": AMPLE, **choice})["answer"]
        upper = answer["best"]["upper_share"]
        for other in answer["others"]:
            for share, most in zip(other["benefit_share"], upper, strict=True):
                assert share is None or share <= most * (1 + 1e-9) + 1e-12
