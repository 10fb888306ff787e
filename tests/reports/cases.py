"""Cases built in the test from a real edition, in the shape in which a case is read back."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from slackwater import MODEL_VERSION
from slackwater.desk.case_result import result_of
from slackwater.desk.map_view import open_map_view
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.showing import Shown
from slackwater.desk.trial import checked, trial_of
from slackwater.progress import Progress
from tests.catchment.small import small
from tests.contracts.seeded import view_of
from tests.contracts.small_view import QUOTE

DEMO = Path(__file__).resolve().parents[2] / "demo_data" / "lantern.gpkg"


@cache
def demo_shown() -> Shown:
    """Give the demo catchment, worked out once."""
    return Shown(open_map_view(DEMO))


def small_shown(cells: Mapping[str, str] | None = None) -> Shown:
    """Give the small catchment: A a candidate on reach ``up``, B quoted, C declined.

    Parameters
    ----------
    cells : of offtake A; ``reach_depth`` of its reach, ``production_basis`` of the settings.
    """
    of = small()
    of.set("offtakes", 1, "quote", QUOTE)
    of.set("offtakes", 2, "status", "declined")
    for name, cell in (cells or {}).items():
        if name == "production_basis":
            of.settings[name] = cell
        elif name == "reach_depth":
            of.set("reaches", 0, "depth_m", cell)
        else:
            of.set("offtakes", 0, name, cell)
    return Shown(view_of(of))


def trial_values(shown: Shown, budget: float, way: str = "score", **changed: Any) -> dict[str, Any]:
    """Give a trial with the catchment's own weights, as the wire has it."""
    ranking = shown.view.evaluation.ranking
    return {
        "weights": dict(zip(ranking.criteria, ranking.weights_thousandths.tolist(), strict=True)),
        "budget": budget,
        "way": way,
        "kept_in": {},
        "left_out": {},
        "district_least": {},
        "district_most": {},
        "most_installs": None,
        "together": [],
        "unit": "ML/d",
        "year": "mean",
        "guild": "all",
        "selected": "",
        **changed,
    }


def case_of(
    shown: Shown, budget: float, way: str = "score", *, name: str = "Round 2027", **changed: Any
) -> CaseShown:
    """Give a saved case of a trial, worked out as a case is."""
    trial = checked(trial_of(trial_values(shown, budget, way, **changed)), shown.view.evaluation)
    result = result_of(shown, trial, Progress())
    case = {
        "id": "c-1",
        "name": name,
        "note": "",
        "made_at": "2026-11-28T09:30:00+00:00",
        "by": "Program lead",
        "shared_at": "",
        "data_version": shown.view.catchment.data_version,
        "model_version": MODEL_VERSION,
        "copied_from": "",
        "on_present_data": True,
        "way": way,
        "budget": budget,
        "inside_count": result["inside_count"],
        "spent": result["spent"],
        "benefit_share": result["benefit_share"],
        "trial": trial.as_dict(),
        "result": result,
        "data": {
            "data_version": shown.view.catchment.data_version,
            "changed_at": "2026-11-27T08:00:00+00:00",
            "is_present": True,
        },
    }
    return CaseShown(case, shown)


@cache
def demo_by_score() -> CaseShown:
    """Give the demo's list by score at the budget it proposes."""
    return case_of(demo_shown(), 1.9e6)


@cache
def demo_best() -> CaseShown:
    """Give the demo's best set, with hand choices and conditions."""
    return case_of(
        demo_shown(), 1.9e6, "best",
        kept_in={"LN-120": "its owner has offered to host visits"},
        left_out={"LN-001": "the channel is to be closed next year"},
        district_least={"Kindle Hills": 0.05}, most_installs=40,
    )  # fmt: skip
