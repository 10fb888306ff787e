"""What is asked and answered about field days: plans, orders made by hand, runs that are kept."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from pydantic import AfterValidator, Field

from slackwater.api.answers.asked import Asked, Id, Name, Value, Words, asked_like
from slackwater.api.answers.funding import FundAsked
from slackwater.api.answers.shape import Answer, like

MOST_DAYS, MOST_STOPS, MOST_CODES = 14, 60, 2_000
_ID = "7c9e6679-7425-40de-944b-e07fc1f90ae7"
_STOP = {
    "code": "A",
    "arrive_min": 42.5,
    "leave_min": 87.5,
    "drive_min": 42.5,
    "drive_km": 38.1,
    "worth_share": 1_000_000,
    "measure": [{"input": "depth_m", "words": "Marked pole or weighted line from the bank."}],
    "must": False,
    "contact_first": True,
}
_DAY = {
    "stops": [_STOP],
    "back_min": 42.5,
    "back_km": 38.1,
    "drive_km": 76.2,
    "drive_min": 85.0,
    "minutes": 130.0,
    "over_min": 0.0,
    "worth_share": 1_000_000,
}
_RUN = {
    "id": _ID,
    "name": "Lower river",
    "on": "2026-03-02",
    "officer": "kim",
    "days": [_DAY],
    "plan": {},
    "by": "lead",
}


def _a_date(text: str) -> str:
    return date.fromisoformat(text).isoformat()


Day = Annotated[str, Field(max_length=10), AfterValidator(_a_date)]
Minutes = Annotated[float, Field(ge=0, le=1e6, allow_inf_nan=False)]
Kilometres = Annotated[float, Field(ge=0, le=1e6, allow_inf_nan=False)]
Share = Annotated[int, Field(ge=0, le=10**12)]


class DayLength(Asked):
    """How long a day is, from leaving the depot to being back."""

    minutes: float = Field(gt=0, le=24 * 60, allow_inf_nan=False)


class VisitAsked(FundAsked):
    """A run to be planned, for the best set of a budget and its conditions."""

    model_config = asked_like(
        {"budget": 250000.0, "depot": "", "days": [{"minutes": 480}, {"minutes": 480}],
         "service_minutes": 45, "must": ["A"], "never": []}
    )  # fmt: skip

    depot: Name = Field("", description="name of a depot; empty for the first there is")
    lon: float | None = Field(None, ge=-180, le=180, description="start here, not at a depot")
    lat: float | None = Field(None, ge=-90, le=90)
    days: list[DayLength] = Field(min_length=1, max_length=MOST_DAYS)
    service_minutes: float = Field(45.0, ge=0, le=24 * 60, description="at each site")
    must: list[Name] = Field([], max_length=MOST_CODES, description="to be seen in any case")
    never: list[Name] = Field([], max_length=MOST_CODES, description="not to be seen")
    detour_factor: float = Field(1.3, ge=1, le=5, description="way over straight line, off roads")
    speed_kmh: float = Field(60.0, gt=0, le=150, description="where no road or speed is known")
    track_kmh: float = Field(15.0, gt=0, le=150, description="from the nearest road to a site")


class OrderAsked(VisitAsked):
    """The same, its stops in an order made by hand."""

    order: list[Annotated[list[Name], Field(max_length=MOST_STOPS)]] = Field(
        description="codes of each day's stops in their order"
    )


class Depot(Answer):
    """A place days can start from."""

    name: str
    lon: float
    lat: float


class Depots(Answer):
    """Where days can start."""

    model_config = like(
        {"depots": [{"name": "Works yard", "lon": 147.2, "lat": -35.1}], "roads": True}
    )

    depots: list[Depot]
    roads: bool = Field(description="whether roads are known")


class MeasureGiven(Asked):
    """One input to measure at a stop, and how."""

    input: Name
    words: Words = ""


class StopGiven(Asked):
    """A stop of a run, as the plan gave it."""

    code: Name
    arrive_min: Minutes | None = None
    leave_min: Minutes | None = None
    drive_min: Minutes | None = None
    drive_km: Kilometres | None = None
    worth_share: Share | None = None
    measure: list[MeasureGiven] = Field([], max_length=10)
    must: bool = False
    contact_first: bool = False


class DayGiven(Asked):
    """A day of a run."""

    stops: list[StopGiven] = Field(max_length=MOST_STOPS)
    back_min: Minutes | None = None
    back_km: Kilometres | None = None
    drive_km: Kilometres | None = None
    drive_min: Minutes | None = None
    minutes: Minutes | None = None
    over_min: Minutes | None = None
    worth_share: Share | None = None


Plan = Annotated[dict[str, Value], Field(max_length=40)]
Days = Annotated[list[DayGiven], Field(min_length=1, max_length=MOST_DAYS)]


class RunAsked(Asked):
    """A run to be kept."""

    model_config = asked_like(_RUN)

    id: Id
    name: Name = Field(min_length=1)
    on: Day = Field(description="date of the first day")
    officer: Name = Field("", description="account it is for; a field officer's own is taken")
    days: Days
    plan: Plan = Field({}, description="what was asked of the planner, and what else it said")
    by: Words = "lead"


class RunOrderAsked(Asked):
    """A run's days in another order."""

    model_config = asked_like({"days": [_DAY]})

    days: Days
    plan: Plan | None = None


class RunHead(Answer):
    """A run as the list shows it."""

    id: str
    name: str
    on: str
    officer: str
    codes: list[list[str]] = Field(description="of each day's stops in their order")
    data_version: str
    made_at: str
    ordered_at: str = Field(description="when its stops were last put in another order, or empty")
    by: str


class Runs(Answer):
    """The runs of whoever asks, all for the lead; the latest first."""

    model_config = like(
        {"runs": [{"id": _ID, "name": "Lower river", "on": "2026-03-02", "officer": "kim",
                   "codes": [["A", "B"]], "data_version": "0123456789ab",
                   "made_at": "2026-03-01T09:30:00+00:00", "ordered_at": "", "by": "lead"}]}
    )  # fmt: skip

    runs: list[RunHead]


class RunKept(Answer):
    """A run that is kept."""

    model_config = like(
        {**_RUN, "data_version": "0123456789ab", "made_at": "2026-03-01T09:30:00+00:00",
         "ordered_at": ""}
    )  # fmt: skip

    id: str
    name: str
    on: str
    officer: str
    days: list[dict[str, Any]]
    plan: dict[str, Any]
    data_version: str
    made_at: str
    ordered_at: str
    by: str
