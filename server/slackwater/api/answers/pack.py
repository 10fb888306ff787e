"""What does a phone take offline for a run?"""

from __future__ import annotations

from typing import Any

from pydantic import Field

from slackwater.api.answers.notes import KEPT, NoteAnswer
from slackwater.api.answers.shape import Answer, like

_FORM = {
    "field": "plate_capacity",
    "label": "Most it can draw, by its plate",
    "holds": "number",
    "units": ["m3/s", "L/s", "ML/d", "cfs"],
    "per_si": {"m3/s": 1.0, "L/s": 1000.0},
    "words": [],
    "column": "capacity_m3s",
    "above_zero": True,
    "most": None,
    "adds_up": False,
    "how": "Copy the plate's flow in its own unit.",
    "caution": "Read it from the bank.",
}
_REGISTERED = {
    "column": "capacity_m3s",
    "value": 0.2,
    "given": 0.2,
    "basis": "assumed",
    "source": "",
    "at": "",
}
_STOP = {
    "day": 1,
    "number": 1,
    "code": "A",
    "planned": {"code": "A", "arrive_min": 40.0},
    "in_register": True,
    "facts": {"contact": "ring first", "access": "fair"},
    "register": {"plate_capacity": _REGISTERED},
    "notes": [KEPT],
    "contested": [],
    "lon": 10.02,
    "lat": 50.015,
}
_LINES = {"row": [0], "points": [2], "lon": [1000000, 10], "lat": [5000000, 10], "name": ["Upper"]}
_NO_POINTS: dict[str, list[Any]] = {"lon": [], "lat": [], "name": []}


class FormAnswer(Answer):
    """One field of the form at the pump."""

    field: str
    label: str
    holds: str = Field(description="number, word, option, text or photo")
    units: list[str] = Field(description="to choose from, the usual one first")
    per_si: dict[str, float] = Field(description="how many of each unit make one of SI")
    words: list[str]
    column: str = Field(description="of the offtakes; empty where it proposes nothing")
    above_zero: bool
    most: float | None = Field(None, description="a number's upper bound in SI, null for none")
    adds_up: bool = Field(description="notes of several people never contradict each other")
    how: str
    caution: str


class Registered(Answer):
    """What the register says of a field."""

    column: str
    value: float | str | None
    given: float | str | None = Field(description="null where an empty cell stands for the value")
    basis: str
    source: str
    at: str


class PackStop(Answer):
    """One stop with all that is known of its site."""

    day: int
    number: int
    code: str
    planned: dict[str, Any] = Field(description="what the plan says of it, as the run was saved")
    in_register: bool
    facts: dict[str, Any]
    register_: dict[str, Registered] = Field(alias="register", description="by field of the form")
    notes: list[NoteAnswer] = Field(description="those that stand now, of any run")
    contested: list[str]
    lon: float | None
    lat: float | None


class Ground(Answer):
    """The map along the way, as coded lines; see ``/api/reaches`` for how they are coded."""

    bounds: list[float] | None
    rivers: dict[str, list[Any]]
    roads: dict[str, list[Any]]
    towns: dict[str, list[Any]]
    depots: dict[str, list[Any]]


class Pack(Answer):
    """All that a phone needs for a run."""

    model_config = like(
        {
            "run": {"id": KEPT["run_id"], "name": "Lower river", "on": "2026-03-01"},
            "data_version": "0123456789ab",
            "made_at": "2026-02-28T07:00:00.000+00:00",
            "stops": [_STOP],
            "forms": [_FORM],
            "ground": {
                "bounds": [9.9, 49.9, 10.1, 50.1],
                "rivers": _LINES,
                "roads": {**_NO_POINTS, "row": [], "points": []},
                "towns": _NO_POINTS,
                "depots": _NO_POINTS,
            },
            "cautions": ["A running intake is a suction and a drowning hazard."],
        }
    )

    run: dict[str, Any]
    data_version: str
    made_at: str
    stops: list[PackStop]
    forms: list[FormAnswer]
    ground: Ground
    cautions: list[str]
