"""Why one offtake stands where it stands."""

from __future__ import annotations

from pydantic import Field

from slackwater.api.answers.shape import Answer, like
from slackwater.api.answers.why_example import WHY


class SentenceFacts(Answer):
    """The numbers of the one plain sentence."""

    taken_of_passing: float = Field(
        description="share of the drifters passing in season that it takes, by worth"
    )
    loss_share: float
    overlap: float


class Part(Answer):
    """What one criterion adds to the score."""

    criterion: str
    label: str
    weight_thousandths: int
    value: float | None = Field(None, description="0 to 1")
    points: float | None = Field(None, description="value x weight; all together are the score")


class GuildLoss(Answer):
    """The loss of one guild to this offtake."""

    guild_id: str
    name: str
    loss_share: float = Field(description="of the guild's loss to all offtakes")
    loss_adults: float = Field(description="adult equivalents a year")
    taken_heads: float | None = Field(None, description="a year; only where counted")


class Loss(Answer):
    """What the offtake costs the river, in adult equivalents a year."""

    by_guild: list[GuildLoss]
    adults: float
    adults_dry: float
    adults_median: float
    adults_wet: float
    low: float
    high: float
    assumed_range: bool = Field(description="no range was given: half to double")
    residents_share: float = Field(description="of the loss, fish past drifting")


class Month(Answer):
    """One month; draw and passing sum to 1 over the year, overlap to the overlap."""

    month: int
    draw_share: float | None = None
    passing_share: float
    overlap: float | None = None


class Landholder(Answer):
    """The landholder's money."""

    pays_once: float
    upkeep_per_year: float
    saving_per_year: float | None
    saving_per_year_low: float | None
    payback_years: float | None
    net_present_value: float | None
    missing: list[str] = Field(description="inputs that are empty")


class Screen(Answer):
    """One screen option at this offtake."""

    option_id: str
    name: str
    feasible: bool
    obstacles: list[str] | None = None
    area_m2: float | None = None
    units: int | None = None
    approach_ms: float
    slot_ms: float | None
    capital: float | None = None
    capital_low: float | None = None
    capital_high: float | None = None
    capital_band: list[float] | None = None
    upkeep_per_year: float | None = None
    life_cycle: float | None = None
    life_cycle_at: list[list[float]] | None = Field(None, description="discount rate, cost")
    gain_adults: float | None = None
    gain_share: float
    gain_per_1000: float | None = None
    quoted: bool | None = None
    is_best: bool
    depth_unknown: bool
    landholder: Landholder | None = None


class Input(Answer):
    """One input of this offtake."""

    column: str
    meaning: str
    unit: str
    value: str | float | None
    basis: str
    source: str
    by: str = Field("", description="who entered it, where an edit says how it came about")
    observed_on: str | None
    default_used: bool
    visibility: str


class FurtherInput(Answer):
    """One cell of another table."""

    column: str
    meaning: str
    unit: str
    value: str | float
    default_used: bool


class RestsOn(Answer):
    """One row of another table that the numbers rest on: reach, gauge, guild, screen, price."""

    table: str
    key: str
    name: str
    source: str
    inputs: list[FurtherInput]


class Why(Answer):
    """Everything that an offtake's rank is made of, as far as the viewer may see it."""

    model_config = like(WHY)

    offtake_id: str
    rank: int
    of: int
    sentence_facts: SentenceFacts
    parts: list[Part]
    loss: Loss
    months: list[Month] = Field(description="in the order of the season-year")
    screens: list[Screen]
    caveat: str = Field(description="on the landholder's savings")
    inputs: list[Input]
    rests_on: list[RestsOn] = Field(description="rows of other tables that go into it")
