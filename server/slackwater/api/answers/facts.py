"""The catchment as a whole."""

from __future__ import annotations

from pydantic import Field

from slackwater.api.answers.shape import Answer, like


class Criterion(Answer):
    """One criterion of the score."""

    name: str
    label: str
    unit: str | None = None


class Guild(Answer):
    """Species that share a life history."""

    guild_id: str
    name: str
    species: str


class Thirds(Answer):
    """Season-years by the water they had at the outlet."""

    dry: list[int]
    median: list[int]
    wet: list[int]


class WarningKind(Answer):
    """One kind of warning about the data."""

    code: str
    count: int
    remedy_of_first: str


class CatchmentFacts(Answer):
    """The catchment as a whole."""

    model_config = like(
        {
            "name": "Small river",
            "data_version": "0123456789ab",
            "model_version": "1",
            "worked_out_at": "2026-01-02T00:00:00+00:00",
            "working": True,
            "edition": "0123456789ab 1 2026-01-02T00:00:00+00:00",
            "revision": 12,
            "case": "0f8fad5b-d9cb-469f-a165-70867728950e",
            "record_first": "2019-01-01",
            "record_last": "2019-12-31",
            "years": [2019],
            "thirds": {"dry": [2019], "median": [2019], "wet": [2019]},
            "season_start_month": 1,
            "currency": "CDL",
            "counted": False,
            "horizon_years": 20.0,
            "discount_rate": 0.07,
            "landholder_share": 0.2,
            "weights": {"risk": 600, "overlap": 100, "cost": 300},
            "criteria": [{"name": "risk", "label": "Entrainment risk"}],
            "budget_hint": 120000.0,
            "bounds": [9.99, 49.96, 10.31, 50.03],
            "relief_bounds": [9.9, 49.9, 10.4, 50.1],
            "warnings": 1,
            "warning_kinds": [
                {"code": "gap_filled", "count": 1, "remedy_of_first": "6 days filled linearly"}
            ],
            "guilds": [{"guild_id": "perch", "name": "Perch", "species": "perch"}],
            "offtakes": 3,
        }
    )

    name: str
    data_version: str = Field(description="12 hex digits over the content of the data")
    model_version: str
    worked_out_at: str = Field(description="when the numbers were worked out, ISO 8601, UTC")
    working: bool = Field(description="whether a database is served, whose data can be edited")
    edition: str = Field(description="what every answer follows from; another after an edit")
    revision: int | None = Field(description="edits the present data rests on; null for a file")
    case: str | None = Field(description="the saved case whose data this is")
    record_first: str = Field(description="first day of the flow record")
    record_last: str = Field(description="last day of the flow record")
    years: list[int] = Field(description="complete season-years, by the year they start in")
    thirds: Thirds
    season_start_month: int
    currency: str
    counted: bool = Field(description="whether production was counted, so that heads may be shown")
    horizon_years: float = Field(description="horizon of the life-cycle cost")
    discount_rate: float = Field(description="a year")
    landholder_share: float = Field(description="of the capital, paid by the landholder")
    weights: dict[str, int] = Field(description="weight of each criterion in thousandths")
    criteria: list[Criterion] = Field(description="in the order of the score")
    budget_hint: float | None = Field(
        description="a budget to begin with: a third of what every eligible site would cost the "
        "fund, to two digits; null without costs the viewer may see"
    )
    bounds: list[float] = Field(description="west, south, east, north in degrees")
    relief_bounds: list[float] | None = Field(description="bounds of the relief picture, if any")
    warnings: int = Field(description="warnings about the data that the viewer may read")
    warning_kinds: list[WarningKind] | None = None
    guilds: list[Guild]
    offtakes: int
