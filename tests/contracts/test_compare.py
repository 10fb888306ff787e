"""What is another between two cases: who enters, who leaves and why, what it costs and gains.

The rows are made by hand; see `test_cases` for the small catchment's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.desk.comparing import compared
from slackwater.desk.data_between import CellBetween, DataBetween
from slackwater.desk.working import Working
from slackwater.store import Case
from tests.contracts.small_register import client_of, edited, small_working
from tests.contracts.test_cases import asked, saved

SAME = DataBetween("v1", "v1")
COSTS = {"P": 60.0, "Q": 50.0, "R": 30.0, "S": 10.0}
TRIAL: dict[str, Any] = {
    "weights": {"risk": 600, "overlap": 100, "cost": 300},
    "budget": 100.0,
    "way": "score",
    "kept_in": {},
    "left_out": {},
    "district_least": {},
    "district_most": {},
    "most_installs": None,
    "together": [],
}


def case(
    order: str, inside: str, of_row: Mapping[str, dict[str, Any]] | None = None, **trial: Any
) -> Case:
    """A case whose offtakes rank as in ``order``, those of ``inside`` inside the money."""
    rows = [
        {
            "code": code,
            "rank": rank,
            "state": "inside" if code in inside else "outside",
            "why_not": "",
            "committed": False,
            "cost": COSTS[code],
            "gain_share": COSTS[code] / 1000,
            **(of_row or {}).get(code, {}),
        }
        for rank, code in enumerate(order, 1)
    ]
    spent = sum(COSTS[code] for code in inside)
    result = {
        "rows": rows,
        "budget": trial.get("budget", TRIAL["budget"]),
        "spent": spent,
        "inside_count": len(inside),
        "benefit_adults": spent,
        "benefit_share": spent / 1000,
    }
    said = {"note": "", "made_at": "", "by": "", "data_version": "v1", "model_version": "1"}
    return Case(id="x", name="x", **said, trial={**TRIAL, **trial}, result=result)


def moved(one: Case, other: Case, data: DataBetween = SAME) -> tuple[dict[str, str], ...]:
    """Code -> why, of who enters and of who leaves."""
    found = compared(one, other, data, "CDL")
    return tuple({row["code"]: row["why"] for row in found[side]} for side in ("enters", "leaves"))


def test_a_case_is_not_another_than_itself() -> None:
    """Nothing enters, leaves or changed; all stay."""
    one = case("PQRS", "PRS")
    found = compared(one, one, SAME, "CDL")
    assert (found["enters"], found["leaves"], found["what_changed"]) == ([], [], [])
    assert found["stays"] == 3
    assert found["money"]["sentence"] == (
        "It costs as much and avoids as much of the loss to pumps."
    )


def test_a_larger_budget_reaches_further() -> None:
    """100 buys P, R and S (60 + 30 + 10); 115 buys P and Q (110), and nothing after fits."""
    one, other = case("PQRS", "PRS"), case("PQRS", "PQ", budget=115.0)
    enters, leaves = moved(one, other)
    assert enters == {"Q": "the larger budget reaches it (rank 2)"}
    assert leaves == {
        code: f"a dearer one before it fits the larger budget, so it no longer does (rank {rank})"
        for code, rank in (("R", 3), ("S", 4))
    }
    back, gone = moved(other, one)
    assert gone == {"Q": "the smaller budget no longer reaches it (rank 2)"}
    assert back["R"].startswith("a dearer one before it no longer fits the smaller budget")
    found = compared(one, other, SAME, "CDL")
    assert found["what_changed"] == ["Budget: 100 → 115 CDL."]
    assert found["money"]["sentence"] == (
        "It costs 10 CDL more and avoids 1.0 % of the loss to pumps more."
    )


def test_moved_weights_are_told_with_the_ranks() -> None:
    """P R S (100) becomes Q R S (90) when Q passes P."""
    weights = {"risk": 500, "overlap": 200, "cost": 300}
    one, other = case("PQRS", "PRS"), case("QPRS", "QRS", weights=weights)
    enters, leaves = moved(one, other)
    assert enters == {"Q": "the moved weights bring it up to where the money reaches (rank 2 → 1)"}
    assert leaves == {
        "P": "the moved weights bring it down to where the money does not reach (rank 1 → 2)"
    }
    said = compared(one, other, SAME, "CDL")["what_changed"]
    assert said == ["Weights: risk 0.6 → 0.5, overlap 0.1 → 0.2."]


def test_weights_and_budget_are_tried_apart() -> None:
    """What one of two changes would do alone is told as its doing.

    From P R S (100) to S Q (60): with 100 the new order buys S, Q and R (90); with 60 the old one
    buys P alone. So Q comes and P goes by the weights, R goes by the budget.
    """
    weights = {"risk": 500, "overlap": 200, "cost": 300}
    other = case("SQPR", "SQ", weights=weights, budget=60.0)
    enters, leaves = moved(case("PQRS", "PRS"), other)
    assert enters == {
        "Q": "under the moved weights those before it cost less, so that its cost fits (rank 2)"
    }
    assert leaves == {
        "P": "the moved weights bring it down to where the money does not reach (rank 1 → 3)",
        "R": "the smaller budget no longer reaches it (rank 3 → 4)",
    }


def test_what_both_would_do_or_only_both_together_is_told_so() -> None:
    """Q first and 200 each bring Q in.

    From P (of 60) to P and S (of 90, S before R): the old order buys P and R with 90, the new one P
    alone with 60; S needs both.
    """
    weights = {"risk": 500, "overlap": 200, "cost": 300}
    enters, _ = moved(case("PQRS", "PRS"), case("QPRS", "QPRS", weights=weights, budget=200.0))
    assert enters == {"Q": "the weights alone would do it, and so would the budget (rank 2 → 1)"}
    enters, _ = moved(
        case("PQRS", "P", budget=60.0), case("PQSR", "PS", weights=weights, budget=90.0)
    )
    assert enters == {"S": "weights and budget do it together, neither alone (rank 4 → 3)"}


def test_hand_choices_come_first_with_their_reasons() -> None:
    """Kept in or left out by hand is the reason told; what that frees is told to the others."""
    one = case("PQRS", "PRS", way="best")
    other = case("PQRS", "QRS", way="best", left_out={"P": "no power"}, kept_in={"S": "promised"})
    enters, leaves = moved(one, other)
    assert leaves == {"P": "left out by hand: no power"}
    assert enters == {
        "Q": "the best set takes it since S is kept in by hand; and P is left out by hand, which "
        "frees 60 CDL"
    }
    enters, leaves = moved(other, one)
    assert enters == {"P": "no longer left out by hand"}
    assert leaves["Q"].startswith("the best set does without it since S is no longer kept in")
    said = compared(one, other, SAME, "CDL")["what_changed"]
    assert said == ["S is kept in by hand: promised.", "P is left out by hand: no power."]


def test_hand_choices_move_nobody_by_score() -> None:
    """By score a hand choice is told as a difference, never as a cause."""
    weights = {"risk": 500, "overlap": 200, "cost": 300}
    one = case("PQRS", "PRS")
    other = case("QPRS", "QRS", weights=weights, left_out={"P": "no power"})
    assert "by hand" not in moved(one, other)[1]["P"]
    assert "P is left out by hand: no power." in compared(one, other, SAME, "CDL")["what_changed"]


def test_the_other_way_to_spend_is_told() -> None:
    """Between by score and best set each side says where the list by score has it."""
    one, other = case("PQRS", "PRS"), case("PQRS", "QRS", way="best")
    enters, leaves = moved(one, other)
    assert enters == {
        "Q": "the best set takes it (alone it avoids 5.0 % for 50); by score it has rank 2, which "
        "the money does not reach"
    }
    assert leaves == {
        "P": "by score it has rank 1, which the money reaches; the best set gains more without it "
        "(alone it avoids 6.0 % for 60)"
    }
    assert compared(one, other, SAME, "CDL")["what_changed"] == [
        "Way to spend: by score → best set."
    ]


def test_hand_choices_that_stop_holding_are_told() -> None:
    """Spent by score instead, what was chosen by hand is told not to hold there."""
    hand = {"left_out": {"Q": "no power"}, "kept_in": {"R": "promised"}}
    enters, leaves = moved(case("PQRS", "PRS", way="best", **hand), case("PQRS", "PQS", **hand))
    assert enters == {"Q": "hand choices do not hold by score"}
    assert leaves["R"].startswith("hand choices do not hold by score; the best set takes it")


def test_conditions_are_told() -> None:
    """Districts, most installs and groups are told, and named as causes of the best set."""
    one = case("PQRS", "PRS", way="best", district_least={"North": 0.2}, together=[["P", "R"]])
    other = case("PQRS", "QRS", way="best", district_most={"South": 0.5}, most_installs=3)
    said = compared(one, other, SAME, "CDL")["what_changed"]
    assert said == [
        "North at least: 20 % → any share of the budget.",
        "South at most: any share → 50 % of the budget.",
        "Most installs: any number → 3.",
        "P and R no longer go together.",
    ]
    assert "most installs" in moved(one, other)[0]["Q"]


def test_other_data_are_told_cell_by_cell() -> None:
    """What changed of an offtake stands beside why it moved; gains are not compared."""
    cell = CellBetween("quote", None, 50_000.0, "Ada, 2026-05-01: the quote came")
    data = DataBetween("v1", "v2", ("The data is another: version v1 → v2.",), {"Q": (cell,)})
    gone = {"P": {"state": "not_in_round", "why_not": "it is declined"}}
    one, other = case("PQRS", "PRS", way="best"), case("PQRS", "QRS", gone, way="best")
    enters, leaves = moved(one, other, data)
    assert leaves == {"P": "not in this round: it is declined"}
    assert enters["Q"].endswith(
        "P is not in this round any more, which frees 60 CDL; its data changed: quote blank → "
        "50,000 (Ada, 2026-05-01: the quote came)"
    )
    found = compared(one, other, data, "CDL")
    assert found["money"]["benefit_share_more"] is None
    assert "different data" in found["money"]["sentence"]
    assert moved(other, one, data)[0]["P"].startswith("it could not be funded before: it is decl")


def test_offtakes_that_come_and_go_are_told() -> None:
    """One that only one version of the data has is new in it, or no longer in it."""
    data = DataBetween("v1", "v2", ("The data is another.",))
    one, other = case("PQR", "PR"), case("PRS", "PRS")
    enters, leaves = moved(one, other, data)
    assert (enters, leaves) == ({"S": "it is new in the data"}, {})
    assert moved(other, one, data)[1] == {"S": "it is no longer in the data"}


@pytest.fixture
def working(tmp_path: Path) -> Iterator[Working]:
    made = small_working(tmp_path / "small.sqlite")
    yield made
    made.close()


def test_two_saved_cases_are_compared(working: Working) -> None:
    """By address: B's quote of 70,000 makes its cost 56,000, which no longer fits beside A's."""
    client: TestClient = client_of(working)
    one = saved(client, asked("One", budget=62_000.0))
    edited(client, "B", "quote", 50000.0, 70000.0)
    edited(client, "A", "basis", "measured", "estimated")
    other = saved(client, asked("Other", budget=62_000.0))
    found = client.get(f"/api/compare?one={one['id']}&other={other['id']}").json()
    assert (found["one"]["id"], found["other"]["id"]) == (one["id"], other["id"])
    assert (found["enters"], found["stays"]) == ([], 1)
    (leaves,) = found["leaves"]
    assert leaves["code"] == "B"
    assert leaves["cost"] == pytest.approx(40_000.0)
    assert "its data changed: quote 50,000 → 70,000 (Ada, " in leaves["why"]
    assert leaves["why"].endswith(": measured again); its cost 40,000 → 56,000")
    assert found["what_changed"] == [
        f"The data is another: version {one['data_version']} → {other['data_version']}.",
        "2 offtakes changed: A and B.",
    ]
    assert client.get(f"/api/compare?one={one['id']}&other={'0' * 8}").status_code == 400
    gone = "6b0f9a52-9d0e-4c53-8f7c-0a4b6f1f2e11"
    assert client.get(f"/api/compare?one={one['id']}&other={gone}").status_code == 404
