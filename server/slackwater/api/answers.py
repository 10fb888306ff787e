"""What does each endpoint answer? The typed shapes of the JSON the page reads.

Whole numbers stand for fractions where the name says so: ``lon``, ``lat`` in 1e-5 degree, shares
and criteria in millionths, the score in billionths. A key is absent where the viewer may not see
the column, a value null where there is none or where that one row may not be seen.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class Answer(BaseModel):
    """An answer holds what it names and nothing else."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class CatchmentFacts(Answer):
    """The catchment as a whole."""

    name: str
    data_version: str = Field(description="12 hex digits over the content of the data")
    model_version: str
    worked_out_at: str = Field(description="when the numbers were worked out, ISO 8601, UTC")
    record_first: str = Field(description="first day of the flow record")
    record_last: str = Field(description="last day of the flow record")
    years: list[int] = Field(description="complete season-years, by the year they start in")
    season_start_month: int
    currency: str
    counted: bool = Field(description="whether production was counted, so that heads may be shown")
    horizon_years: float = Field(description="horizon of the life-cycle cost")
    weights: dict[str, int] = Field(description="weight of each criterion in thousandths")
    bounds: list[float] = Field(description="west, south, east, north in degrees")
    relief_bounds: list[float] | None = Field(description="bounds of the relief picture, if any")
    warnings: int
    guilds: list[str]
    offtakes: int


class Lines(Answer):
    """Lines or rings: each value of ``lon`` and ``lat`` is the step from the one before."""

    row: list[int] = Field(description="table row each line belongs to")
    points: list[int] = Field(description="points in each line")
    lon: list[int]
    lat: list[int]
    name: list[str]


class Reaches(Lines):
    """The rivers."""

    reach_id: list[str]
    mean_flow_m3s: list[float] = Field(description="mean of the recorded days, for line widths")


class Land(Lines):
    """Areas of land."""

    kind: list[str]


class Roads(Lines):
    """Roads."""

    class_: list[str] = Field(alias="class")


class Places(Answer):
    """Towns and villages."""

    lon: list[int]
    lat: list[int]
    name: list[str]
    size: list[int]


class Option(Answer):
    """A screen that can be bought."""

    option_id: str
    name: str


class Offtakes(Answer):
    """Every offtake, column by column, rows as in the table."""

    viewer: str
    count: int
    options: list[Option]
    offtake_id: list[str]
    label: list[str]
    kind: list[str]
    fitted: list[str]
    district: list[str]
    status: list[str | None]
    basis: list[str]
    reach: list[int] = Field(description="row of the reach it draws from")
    lon: list[int]
    lat: list[int]
    stands_at: list[str] = Field(description="intake, or reach: the middle of its reach")
    rank: list[int]
    tie_order: list[int] = Field(description="order between equal scores: larger loss, then id")
    score: list[int] = Field(description="billionths")
    risk: list[int] = Field(description="criterion, millionths")
    overlap: list[int] = Field(description="criterion, millionths")
    cost: list[int | None] | None = Field(None, description="criterion, millionths")
    loss_share: list[int] = Field(description="share of the whole loss, millionths")
    gain_share: list[int] = Field(description="what the best option gains over the whole loss")
    best_option: list[int] = Field(description="position in options, -1 for none")
    capital_band: list[list[float] | None] | None = Field(None, description="from, to")
    capital: list[float | None] | None = None
    life_cycle_cost: list[float | None] | None = None
    gain_adults: list[float | None] | None = None
    gain_per_1000: list[float | None] | None = Field(
        None, description="adult equivalents a year per 1,000 of life-cycle cost"
    )
    volume_ml: list[float | None] | None = Field(None, description="megalitres a year")
    capacity_m3s: list[float | None] | None = None


class FindingAnswer(Answer):
    """One fault in the data."""

    table: str
    row: int | None
    key: str
    column: str
    value: str
    code: str
    remedy: str


class ErrorBody(Answer):
    """What went wrong, in a word for programs and a sentence for people."""

    code: str
    message: str
    findings: list[FindingAnswer] | None = None


class ErrorAnswer(Answer):
    """The one shape of every error."""

    error: ErrorBody
