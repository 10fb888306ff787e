"""What does everyone in a meeting see of its case? Public values, fixed for its life."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from slackwater.decisions.score import MILLION
from slackwater.desk.criteria_shown import LABELS, criteria_told
from slackwater.desk.meeting.map_shown import MapShown, map_shown
from slackwater.desk.meeting.money_here import MoneyHere, SetHere, gap_told, shared_out
from slackwater.desk.meeting.said import (
    SCREENS,
    TITLES,
    Concentrated,
    choice_said,
    half_of_loss,
    list_said,
    problem_said,
    river_said,
    room_said,
    taken_said,
    taken_share,
)
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import reach_name, rivers_shown
from slackwater.desk.paper.site_facts import SiteFacts
from slackwater.desk.visibility import Viewer
from slackwater.meeting.led import STEPS
from slackwater.meeting.phones import GROUPS
from slackwater.meeting.snapshot import LEAST_TRIED, Basis
from slackwater.meeting.weightings import Flags, Weights

MEANINGS = {
    "risk": "Offtakes that take the most fish first.",
    "overlap": "Offtakes that run while young fish drift past first.",
    "cost": "Cheaper screens first.",
}
STATES = {"inside": "inside", "outside": "outside", "not_in_round": "not this round"}
RISK_STEPS = 5
"""Of equal width, as the map page colours them (``web/src/core/risk.ts``)."""


@dataclass(frozen=True)
class Opening:
    """What is decided when a meeting is opened.

    Attributes
    ----------
    opened_at, ends_at : ISO.
    """

    code: str
    opened_at: str
    ends_at: str


@dataclass(frozen=True, eq=False)
class MeetingShown:
    """A case before a hall.

    Attributes
    ----------
    values : what `GET /api/meet/{code}` answers; public.
    basis : for the meeting's room.
    codes : of the offtakes, by row of their table.
    by_rank : rows of the table in the case's order.
    case_inside : who is inside in the case, by row.
    labels : criterion -> what people call it.
    best : the best set, to be kept with the meeting.
    """

    values: Mapping[str, Any]
    basis: Basis
    money: MoneyHere
    codes: tuple[str, ...]
    by_rank: tuple[int, ...]
    case_inside: Flags
    labels: Mapping[str, str]
    best: SetHere

    def codes_of(self, inside: Flags) -> list[str]:
        """Give codes of flagged offtakes in the case's order of rank.

        Never in the order of somebody's own weights: weights on cost alone would then put quotes,
        which are private, in order.
        """
        return [self.codes[row] for row in self.by_rank if inside[row]]

    def named(self, weights: Weights) -> dict[str, int]:
        """Give weights by their criteria."""
        return self.money.named(weights)

    def sentence(self, step: str) -> str:
        """Give the sentence that a step has whatever the hall does."""
        return next(each["sentence"] for each in self.values["steps"] if each["step"] == step)


def meeting_shown(
    case: CaseShown, opening: Opening, *, best: SetHere | None = None
) -> MeetingShown:
    """Gather all that is fixed for a meeting; by score, the best set is looked for, so it may wait.

    Parameters
    ----------
    best : the best set where it is known, as of a meeting that was opened before.

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    """
    funds = MoneyHere(case)
    by_score, best = _both_ways(case, funds, best)
    inside = np.zeros(len(case.rows), np.bool_)
    inside[[row.position for row in case.rows if row.inside]] = True
    drawn = map_shown(case)
    criteria = _criteria(case)
    offtakes = _offtakes(case, drawn, by_score.rows, best.rows)
    most = half_of_loss([each["loss_share"] for each in offtakes])
    facts = _facts(case, offtakes, most, {"by_score": by_score, "best": best})
    values = {
        **_named(case, opening),
        "criteria": criteria,
        "weights": dict(case.trial["weights"]),
        "groups": list(GROUPS),
        "least_tried": LEAST_TRIED,
        "map": drawn.values,
        "offtakes": offtakes,
        "facts": facts,
        "steps": _steps(case, facts, most),
    }
    return MeetingShown(
        values=values,
        basis=Basis(funds.criteria, shared_out, funds.inside_of, drawn.size_mm),
        money=funds,
        codes=case.evaluation.catchment.table("offtakes").keys,
        by_rank=tuple(row.position for row in case.rows),
        case_inside=inside,
        labels={each["name"]: each["label"] for each in criteria},
        best=best,
    )


def risk_step(millionths: int) -> int:
    """Give the step of an entrainment risk, 0 least to 4 most."""
    return min(RISK_STEPS - 1, max(0, millionths * RISK_STEPS // MILLION))


def _both_ways(case: CaseShown, funds: MoneyHere, known: SetHere | None) -> tuple[SetHere, SetHere]:
    """Give the set by score and the best one, each for the case's budget; one is the case's own."""
    rows = frozenset(row.position for row in case.rows if row.inside)
    own = SetHere(rows, case.result["benefit_share"], gap_told(case.result.get("gap")))
    if case.trial["way"] == "score":
        return own, known or funds.best()
    weights = funds.own_weights
    return SetHere(frozenset(funds.picks_of(weights)), funds.benefit_share(weights)), own


def _named(case: CaseShown, opening: Opening) -> dict[str, Any]:
    """Say which meeting this is, of which case."""
    stamp = case.stamp(datetime.fromisoformat(opening.opened_at), Viewer.PUBLIC)
    return {
        "code": opening.code,
        "case_name": case.case["name"],
        "catchment": stamp.catchment,
        "way": case.way,
        "budget": case.trial["budget"],
        "currency": case.currency,
        "opened_at": opening.opened_at,
        "ends_at": opening.ends_at,
        "stamp": f"{stamp.catchment}. {stamp.case_words} {stamp.data_words}",
    }


def _criteria(case: CaseShown) -> list[dict[str, str]]:
    told = {each["name"]: each for each in criteria_told(case.evaluation)}
    return [
        {
            "name": name,
            "label": told[name]["label"],
            "meaning": MEANINGS.get(name, "") if name in LABELS else _unit_said(told[name]),
        }
        for name in case.trial["weights"]
    ]


def _unit_said(told: Mapping[str, str]) -> str:
    return f"In {told['unit']}, from worst to best." if told.get("unit") else "From worst to best."


def _offtakes(
    case: CaseShown, drawn: MapShown, by_score: Collection[int], best: Collection[int]
) -> list[dict[str, Any]]:
    """Give every offtake in order of rank; a column that is closed to the public fails here."""
    columns = case.shown.view.offtakes(Viewer.PUBLIC)
    return [
        _offtake(case, row, columns, drawn.places[row.code])
        | {"by_score": row.position in by_score, "best": row.position in best}
        for row in case.rows
    ]


def _offtake(
    case: CaseShown, row: CaseRow, columns: Mapping[str, Any], place: tuple[float, float]
) -> dict[str, Any]:
    return {
        "code": row.code,
        "x_mm": place[0],
        "y_mm": place[1],
        "rank": row.rank,
        "state": STATES[row.state],
        "risk": risk_step(columns["risk"][row.position]),
        "loss_share": columns["loss_share"][row.position] / MILLION,
        "cost_band": SiteFacts(case, row, Viewer.PUBLIC).cost_band_words,
        "reach": reach_name(case.evaluation, row.position, Viewer.PUBLIC),
        "kind": "channel" if columns["kind"][row.position] == "gravity_channel" else "pump",
    }


def _facts(
    case: CaseShown,
    offtakes: list[dict[str, Any]],
    most: Concentrated,
    ways: Mapping[str, SetHere],
) -> dict[str, Any]:
    kinds = [each["kind"] for each in offtakes]
    return {
        "river_km": round(float(case.evaluation.catchment.length_m.sum()) / 1000, 1),
        "offtakes": len(offtakes),
        "pumps": kinds.count("pump"),
        "channels": kinds.count("channel"),
        "loss_words": taken_said(case.evaluation),
        "half_of_loss_at": most.count,
        "inside": case.result["inside_count"],
        "benefit_share": case.result["benefit_share"],
    } | {
        "by_score": _bought(ways["by_score"]),
        "best": {**_bought(ways["best"]), "gap": ways["best"].gap},
    }


def _bought(way: SetHere) -> dict[str, Any]:
    return {"inside": len(way.rows), "benefit_share": way.benefit_share}


def _steps(case: CaseShown, facts: Mapping[str, Any], most: Concentrated) -> list[dict[str, str]]:
    """Give title and sentence of every step, as they are before anyone did anything."""
    trial, currency = case.trial, case.currency
    largest_m3s = max((river.flow_m3s for river in rivers_shown(case.evaluation)), default=0.0)
    said = {
        "river": river_said(case.evaluation, trial["unit"], largest_m3s, facts["river_km"]),
        "problem": problem_said(facts["offtakes"], taken_share(case.evaluation), most),
        "screens": SCREENS,
        "list": list_said(
            case.weights, facts["by_score"]["inside"], len(case.rows), trial["budget"], currency
        ),
        "room": room_said(0, LEAST_TRIED, 0, 0),
        "choice": choice_said(
            facts,
            trial["budget"],
            currency,
            trial["way"],
            conditions=bool(case.conditions or case.hand_choices),
        ),
    }
    return [{"step": step, "title": TITLES[step], "sentence": said[step]} for step in STEPS]
