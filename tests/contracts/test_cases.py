"""Saved cases: worked out as the page and `slackwater fund` do, kept for good, on their own data.

In the small catchment A is no more than a candidate, B is offered at a quote, C built. Worked by
hand, at four fifths of the capital (``landholder_share`` 0.2):

- A, one cone: 0.2 m3/s / 0.1 m/s = 2 m2, one unit of 2 m2: (20,000 + 5,000 mount) x 1.1 design =
  27,500, so 22,000 to the fund;
- B, quoted at 50,000 for its cone, so 40,000.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import fund
from slackwater.desk.cases import case_of, make_case
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.showing import AsRead
from slackwater.desk.working import Working
from slackwater.errors import Cancelled
from slackwater.progress import Progress
from slackwater.verify.verify import verify
from tests.contracts.small_register import (
    HERE,
    client_of,
    edited,
    ended,
    new_id,
    small_working,
)
from tests.contracts.small_view import small_view

COST_A, COST_B = 22_000.0, 40_000.0
WEIGHTS = {"risk": 500, "overlap": 200, "cost": 300}


@pytest.fixture(scope="module")
def untouched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A service in which no case is ever kept."""
    made = small_working(tmp_path_factory.mktemp("untouched") / "small.sqlite")
    yield client_of(made)
    made.close()


def trial(way: str = "score", budget: float = 62_000.0, **more: Any) -> dict[str, Any]:
    return {"weights": WEIGHTS, "budget": budget, "way": way, **more}


def asked(name: str = "Round one", **of_trial: Any) -> dict[str, Any]:
    return {"id": new_id(), "name": name, "trial": trial(**of_trial)}


def saved(client: TestClient, body: dict[str, Any], query: str = "") -> dict[str, Any]:
    work = ended(client, f"/api/cases{query}", body)
    assert work["state"] == "done", work["error"]
    case: dict[str, Any] = work["answer"]
    return case


def inside(case: dict[str, Any]) -> set[str]:
    return {row["code"] for row in case["result"]["rows"] if row["state"] == "inside"}


def evaluation_of(working: Working) -> Evaluation:
    return working.of().view.evaluation


def test_by_score_is_what_was_worked_by_hand(client: TestClient) -> None:
    """Rows, states, costs and the sum spent are those of the arithmetic above."""
    result = saved(client, asked())["result"]
    rows = {row["code"]: row for row in result["rows"]}
    assert [row["rank"] for row in result["rows"]] == [1, 2, 3]
    assert rows["A"]["cost"] == pytest.approx(COST_A)
    assert rows["B"]["cost"] == pytest.approx(COST_B)
    assert (rows["A"]["option"], rows["B"]["option"]) == ("cone", "cone")
    assert {code: row["state"] for code, row in rows.items()} == {
        "A": "inside", "B": "inside", "C": "not_in_round",
    }  # fmt: skip
    assert rows["C"]["why_not"] == "the landholder is not willing"
    assert result["spent"] == pytest.approx(COST_A + COST_B)
    assert result["inside_count"] == 2
    assert sum(row["loss_share"] for row in rows.values()) == pytest.approx(1.0)
    assert result["sentence"].startswith("2 offtakes, 62,000 of 62,000 CDL, avoiding ")
    assert (result["certificate"], result["gap"]) == (None, None)


def test_the_best_set_is_that_of_the_command_line(client: TestClient, working: Working) -> None:
    """Set, costs, money, gain and bound are those of `slackwater fund` for the same conditions."""
    hand = {"kept_in": {"A": "agreed with the council"}, "left_out": {"B": "no power yet"}}
    for conditions in ({}, hand, {"most_installs": 1}, {"district_most": {"North": 0.6}}):
        told = fund(evaluation_of(working), 60_000.0, Conditions(**conditions))
        result = saved(client, asked(way="best", budget=60_000.0, **conditions))["result"]
        rows = {row["code"]: row for row in result["rows"] if row["state"] == "inside"}
        chosen = [(code, rows[code]["option"], rows[code]["cost"]) for code in sorted(rows)]
        assert chosen == list(told.best.chosen)
        assert result["spent"] == pytest.approx(told.best.spent, rel=1e-12)
        assert result["benefit_adults"] == pytest.approx(told.best.benefit_adults, rel=1e-9)
        assert result["upper_bound_adults"] == pytest.approx(told.certificate.upper_bound)
        assert result["by_score"]["spent"] == pytest.approx(told.score.spent)
        assert result["by_score"]["benefit_adults"] == pytest.approx(told.score.benefit_adults)


def test_a_group_goes_in_as_one(client: TestClient, working: Working) -> None:
    """A and B together: what the rows cost is what is spent, and the certificate holds."""
    case = saved(client, asked(way="best", together=[["A", "B"]]))
    rows = [row for row in case["result"]["rows"] if row["state"] == "inside"]
    assert {row["code"] for row in rows} == {"A", "B"}
    assert sum(row["cost"] for row in rows) == pytest.approx(case["result"]["spent"])
    assert verify(working.of().view.catchment, case["result"]["certificate"]).holds
    short = saved(client, asked(way="best", budget=45_000.0, together=[["A", "B"]]))
    assert inside(short) == set()


def test_work_that_was_stopped_keeps_no_case(client: TestClient, working: Working) -> None:
    """Told to stop before it is done, it keeps nothing."""
    of = case_of({**asked(), "note": "", "by": "lead", "copied_from": "", "trial": full(trial())})
    stopped = Progress()
    stopped.cancel()
    with pytest.raises(Cancelled):
        make_case(working.register, working.of(), of)(stopped, lambda _: None)
    assert client.get("/api/cases").json()["cases"] == []


def test_the_certificate_kept_holds(client: TestClient, working: Working) -> None:
    """The certificate of a case is found right by the verifier's own arithmetic."""
    case = saved(client, asked(way="best"))
    verdict = verify(working.of().view.catchment, case["result"]["certificate"])
    assert verdict.holds, list(map(str, verdict.disagreements))


def test_hand_choices_are_told_with_their_reason(client: TestClient) -> None:
    """Under the best set a row says that it was chosen by hand; by score that plays no part."""
    hand = {"kept_in": {"A": "agreed"}, "left_out": {"B": "no power yet"}}
    best, score = saved(client, asked(way="best", **hand)), saved(client, asked(**hand))
    rows = {row["code"]: row for row in best["result"]["rows"]}
    assert (rows["A"]["by_hand"], rows["A"]["state"]) == ("kept_in", "inside")
    assert (rows["B"]["by_hand"], rows["B"]["state"]) == ("left_out", "outside")
    assert rows["B"]["why_not"] == "left out by hand: no power yet"
    assert inside(score) == {"A", "B"}
    assert {row["by_hand"] for row in score["result"]["rows"]} == {""}
    assert score["trial"]["left_out"] == {"B": "no power yet"}


def test_a_case_sent_again_is_kept_once_and_another_under_its_id_is_refused(
    client: TestClient,
) -> None:
    """The same id and content gives the case as it was kept; any other content is refused."""
    body = asked()
    first = saved(client, body)
    assert saved(client, body) == first
    for other in (
        {**body, "name": "Round two"},
        {**body, "note": "of the meeting"},
        {**body, "trial": trial(budget=50_000.0)},
        {**body, "trial": trial(left_out={"B": "no power yet"})},
    ):
        answer = client.post("/api/cases", json=other)
        assert (answer.status_code, answer.json()["error"]["code"]) == (409, "settled")
    assert client.get(f"/api/cases/{body['id']}").json() == first
    assert len(client.get("/api/cases").json()["cases"]) == 1


def test_a_shared_case_stays(client: TestClient) -> None:
    """Shared twice it is shared once; it cannot be deleted; one that is not shared can."""
    mine, shared = saved(client, asked()), saved(client, asked("Shared"))
    first = client.post(f"/api/cases/{shared['id']}/share").json()
    assert first["shared_at"]
    assert client.post(f"/api/cases/{shared['id']}/share").json() == first
    assert {**first, "shared_at": None} == shared
    refused = client.delete(f"/api/cases/{shared['id']}")
    assert (refused.status_code, refused.json()["error"]["code"]) == (409, "settled")
    assert client.delete(f"/api/cases/{mine['id']}").status_code == 204
    assert client.get(f"/api/cases/{mine['id']}").status_code == 404
    assert [each["id"] for each in client.get("/api/cases").json()["cases"]] == [shared["id"]]


def test_an_old_case_keeps_its_data_and_numbers(client: TestClient, working: Working) -> None:
    """After an edit a case tells the same; what it looks at is the data as it stood."""
    before = client.get("/api/offtakes").json()
    case = saved(client, asked())
    edited(client, "A", "capacity_m3s", 0.2, 0.4)
    after = client.get(f"/api/cases/{case['id']}").json()
    assert after["result"] == case["result"]
    assert (after["data"]["is_present"], after["on_present_data"]) == (False, False)
    assert after["data_version"] != client.get("/api/catchment").json()["data_version"]
    assert after["data"]["changed_at"] == case["data"]["changed_at"]
    assert client.get(f"/api/offtakes?case={case['id']}").json() == before
    assert client.get("/api/offtakes").json() != before
    facts = client.get(f"/api/catchment?case={case['id']}").json()
    assert (facts["data_version"], facts["case"]) == (case["data_version"], case["id"])
    anew = saved(client, asked("On the old data"), f"?case={case['id']}")
    assert (anew["data_version"], anew["result"]) == (case["data_version"], case["result"])
    now = saved(client, asked("On the new data"))
    assert now["data"]["is_present"]
    assert now["result"]["rows"] != case["result"]["rows"]
    assert working.of(case["id"]).view.catchment.data_version == case["data_version"]


def test_data_that_are_brought_back_are_present_again(client: TestClient) -> None:
    """The version follows the content: an edit taken back makes an old case one of today's data."""
    case = saved(client, asked())
    edited(client, "A", "capacity_m3s", 0.2, 0.4)
    edited(client, "A", "capacity_m3s", 0.4, 0.2)
    assert client.get(f"/api/cases/{case['id']}").json()["data"]["is_present"]


def test_an_edit_while_a_case_is_worked_out_does_not_lose_it(
    client: TestClient, working: Working
) -> None:
    """A case rests on the data it was begun on, though the database has gone on meanwhile."""
    shown, body = working.of(), asked()
    body = {**body, "note": "", "by": "lead", "copied_from": "", "trial": full(body["trial"])}
    work = make_case(working.register, shown, case_of(body))
    edited(client, "A", "capacity_m3s", 0.2, 0.4)
    case = work(Progress(), lambda _: None)
    assert case["data_version"] == shown.view.catchment.data_version
    assert not case["data"]["is_present"]
    assert client.get(f"/api/offtakes?case={case['id']}").status_code == 200


def full(of: dict[str, Any]) -> dict[str, Any]:
    """A trial with all that the wire fills in."""
    plain = {"kept_in": {}, "left_out": {}, "district_least": {}, "district_most": {}}
    seen = {"unit": "ML/d", "year": "mean", "guild": "all", "selected": ""}
    return {**of, **plain, **seen, "most_installs": None, "together": []}


def test_a_copy_names_what_it_was_copied_from(client: TestClient) -> None:
    """A case may say which case it began as, one that is there."""
    first = saved(client, asked())
    copy = saved(client, {**asked("A change"), "copied_from": first["id"]})
    assert (first["copied_from"], copy["copied_from"]) == (None, first["id"])
    answer = client.post("/api/cases", json={**asked(), "copied_from": new_id()})
    assert (answer.status_code, "copied from" in answer.text) == (400, True)


@pytest.mark.parametrize(
    ("of_trial", "words"),
    [
        ({"weights": {"risk": 500, "overlap": 200, "cost": 299}}, "999 thousandths"),
        ({"weights": {"risk": 1100, "overlap": -400, "cost": 300}}, "whole number of thousandths"),
        ({"weights": {"risk": 700, "cost": 300}}, "'overlap'"),
        ({"weights": {**WEIGHTS, "herons": 0}}, "'herons'"),
        ({"weights": {"risk": 500.5, "overlap": 199.5, "cost": 300}}, "weights"),
        ({"budget": -1.0}, "budget"),
        ({"kept_in": {"A": " "}}, "A: a hand choice needs a written reason"),
        ({"left_out": {"B": ""}}, "B: a hand choice needs a written reason"),
        ({"left_out": {"B": "tab\tin it"}}, "B: the reason"),
        ({"kept_in": {"C": "I want it"}}, "C cannot be kept in: the landholder"),
        ({"kept_in": {"Nowhere": "gone"}}, "'Nowhere'"),
        ({"left_out": {"A": "x" * 1001}}, "at most 1000"),
        ({"district_least": {"Atlantis": 0.5}}, "'Atlantis'"),
        ({"district_most": {"North": 1.5}}, "district_most"),
        ({"most_installs": -1}, "most_installs"),
        ({"together": [["A", "Nowhere"]]}, "'Nowhere'"),
        ({"guild": "eel"}, "'eel'"),
        ({"unit": "gpm"}, "'gpm'"),
        ({"year": "leap"}, "year"),
        ({"selected": "Nowhere"}, "'Nowhere'"),
        ({"theme": "dark"}, "theme"),
    ],
)
def test_a_trial_that_cannot_be_is_refused(
    untouched: TestClient, of_trial: dict[str, Any], words: str
) -> None:
    """The refusal names what is wrong, at once; no case is kept."""
    answer = untouched.post("/api/cases", json={**asked(), "trial": {**trial(), **of_trial}})
    assert answer.status_code == 400, answer.text
    assert words in answer.json()["error"]["message"]
    assert untouched.get("/api/cases").json()["cases"] == []


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ({"name": "  "}, "name"),
        ({"name": "x" * 121}, "at most 120"),
        ({"name": "two\nlines"}, "control character"),
        ({"note": "x" * 4001}, "at most 4000"),
        ({"note": "a bell \x07"}, "control character"),
        ({"by": ""}, "who saves this"),
        ({"id": "mine"}, "id"),
        ({"nmae": "x"}, "nmae"),
    ],
)
def test_text_that_cannot_be_kept_is_refused(
    untouched: TestClient, part: dict[str, str], words: str
) -> None:
    """Names are 1 to 120 characters, notes at most 4,000; neither holds control characters."""
    answer = untouched.post("/api/cases", json={**asked(), **part})
    assert answer.status_code == 400, answer.text
    assert words in answer.json()["error"]["message"]


def test_text_is_kept_as_text(client: TestClient) -> None:
    """Marks of other languages and of code are kept as they are; a note keeps its lines."""
    body = {**asked("<b>Ødegård & 2 = 1+1</b>"), "note": "first\r\nsecond"}
    case = saved(client, body)
    assert (case["name"], case["note"]) == (body["name"], "first\nsecond")


def test_a_clash_keeps_no_case(client: TestClient) -> None:
    """Where no set is possible the work says which rule is short by how much; nothing is kept."""
    work = ended(client, "/api/cases", asked(way="best", budget=1.0, kept_in={"A": "promised"}))
    assert (work["state"], work["error"]["code"]) == ("failed", "no_set_possible")
    assert work["error"]["clash"] == [{"rule": "kept", "short_by": pytest.approx(COST_A - 1)}]
    assert client.get("/api/cases").json()["cases"] == []


def test_cases_are_for_the_lead_and_for_a_database(client: TestClient) -> None:
    """Whoever may see less is refused; a catchment read from a file has no cases, and says how."""
    case = saved(client, asked())
    reader = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    calls = [
        ("GET", "/api/cases", None),
        ("POST", "/api/cases", asked()),
        ("GET", f"/api/cases/{case['id']}", None),
        ("POST", f"/api/cases/{case['id']}/share", None),
        ("DELETE", f"/api/cases/{case['id']}", None),
        ("GET", f"/api/compare?one={case['id']}&other={case['id']}", None),
    ]
    for method, address, body in calls:
        joined = f"{address}{'&' if '?' in address else '?'}as="
        for viewer in ("agency", "public"):
            assert client.request(method, joined + viewer, json=body).status_code == 403, address
        answer = reader.request(method, address, json=body)
        assert (answer.status_code, answer.json()["error"]["code"]) == (404, "read_only")
        assert "slackwater import" in answer.json()["error"]["message"]
    assert client.get(f"/api/cases/{case['id']}").json()["shared_at"] is None
