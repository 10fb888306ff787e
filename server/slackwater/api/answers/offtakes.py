"""Every offtake at once: its numbers, its loss in another view, and one's routes."""

from __future__ import annotations

from pydantic import Field

from slackwater.api.answers.shape import Answer, like


class Option(Answer):
    """A screen that can be bought."""

    option_id: str
    name: str


class Offtakes(Answer):
    """Every offtake, column by column, rows as in the table."""

    model_config = like(
        {
            "viewer": "public",
            "count": 1,
            "options": [{"option_id": "cone", "name": "Cone screen"}],
            "offtake_id": ["A"],
            "label": ["Pump A"],
            "kind": ["rail_suction"],
            "fitted": ["none"],
            "district": ["North"],
            "status": ["candidate"],
            "basis": ["measured"],
            "reach": [0],
            "lon": [1002000],
            "lat": [5001500],
            "stands_at": ["reach"],
            "rank": [1],
            "tie_order": [0],
            "score": [812345678],
            "risk": [1000000],
            "overlap": [482000],
            "loss_share": [634512],
            "gain_share": [411230],
            "best_option": [0],
            "capital_band": [[20000.0, 50000.0]],
            "criteria": {"risk": [1000000], "overlap": [482000]},
        }
    )

    viewer: str
    count: int
    options: list[Option]
    offtake_id: list[str]
    label: list[str]
    holder: list[int] | None = Field(
        None, description="first row of the same landholder, -1 for none; for the lead alone"
    )
    kind: list[str]
    fitted: list[str]
    district: list[str]
    status: list[str | None] = Field(description="null: not in this round")
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
    criteria: dict[str, list[int | None]] = Field(
        description="further criteria beside risk, overlap and cost, millionths"
    )
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
    fund_state: list[int] | None = Field(
        None, description="0 not to be funded, 1 eligible with a best option, 2 committed"
    )
    fund_cost: list[float | None] | None = Field(
        None, description="cost to the fund of the option it is funded with by score; exact"
    )
    fund_cost_least: list[float | None] | None = Field(
        None, description="of a committed site, where not all fit at fund_cost; exact"
    )
    not_funded_because: list[str | None] | None = None
    upkeep_per_year: list[float | None] | None = Field(None, description="of the best option")


class Losses(Answer):
    """Loss and gain of every offtake in one view, rows as in the table of offtakes."""

    model_config = like(
        {
            "year": "dry",
            "guild": "all",
            "loss_share": [634512, 365488],
            "risk": [1000000, 920134],
            "gain_share": [411230, 0],
            "total": 1250.5,
        }
    )

    year: str
    guild: str
    loss_share: list[int] = Field(description="share of this view's whole loss, millionths")
    risk: list[int] = Field(description="risk criterion of this view's loss, millionths")
    gain_share: list[int] = Field(description="the best option's gain over this view's whole loss")
    adults: list[float] | None = Field(None, description="adult equivalents a year, if counted")
    total: float = Field(description="this view's whole loss in adult equivalents a year")


class Routes(Answer):
    """Where an offtake's drifters come from and where they would have settled."""

    model_config = like({"from_reach": [1000000, 0], "to_reach": [0, 874000], "to_outlet": 126000})

    from_reach: list[int] = Field(description="a value a reach row, millionths of what it takes")
    to_reach: list[int] = Field(description="a value a reach row, millionths of its loss")
    to_outlet: int = Field(description="millionths of its loss that would have left the river")
