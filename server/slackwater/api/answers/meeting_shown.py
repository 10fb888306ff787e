"""What does a meeting tell? What stays as it is, the wall's Now, and what its facilitator sees."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from slackwater.api.answers.meeting_example import LEAD, MEETING, NOW
from slackwater.api.answers.meetings import AgreedWhat, StepName
from slackwater.api.answers.shape import Answer, like


class MeetingCriterion(Answer):
    """What a weight is set for."""

    name: str
    label: str
    meaning: str


class MeetingRiver(Answer):
    """A river as the meeting's map draws it, an SVG path in mm."""

    path: str
    width_mm: float
    name: str = ""


class MeetingTown(Answer):
    """A town on the map."""

    name: str
    size: str | float | int
    x_mm: float
    y_mm: float


class MapScale(Answer):
    """How long so many mm of the map are."""

    words: str
    mm: float


class MeetingMap(Answer):
    """The map that wall and phones draw."""

    width_mm: float
    height_mm: float
    rivers: list[MeetingRiver]
    towns: list[MeetingTown]
    scale: MapScale | None = None
    relief: str | None = None


class MeetingOfftake(Answer):
    """An offtake, laid side by side with others at the middle of its reach."""

    code: str
    x_mm: float
    y_mm: float
    rank: int
    state: Literal["inside", "outside", "not this round"]
    risk: int = Field(description="five ordered steps, 0 to 4, 4 the highest")
    loss_share: float
    cost_band: str
    reach: str
    kind: Literal["pump", "channel"]
    by_score: bool = Field(description="inside by score, under the case's weights and budget")
    best: bool = Field(description="inside the best set")


class WayFacts(Answer):
    """What one way of spending buys."""

    inside: int
    benefit_share: float


class BestFacts(WayFacts):
    """What the best set buys."""

    gap: float = Field(description="share that another set could gain more; 0 where it is proven")


class MeetingFacts(Answer):
    """Figures of the river and the case."""

    river_km: float
    offtakes: int
    pumps: int
    channels: int
    loss_words: str
    half_of_loss_at: int = Field(description="offtakes that cause half of the loss")
    inside: int
    benefit_share: float
    by_score: WayFacts
    best: BestFacts


class MeetingStep(Answer):
    """A prepared view with its title, and a sentence that is true of it."""

    step: StepName
    title: str
    sentence: str


class MeetingAnswer(Answer):
    """All of a meeting that stays as it is as long as it lasts."""

    model_config = like(MEETING)

    code: str
    case_name: str
    catchment: str
    way: Literal["By score", "Best set"]
    budget: float
    currency: str
    opened_at: str
    ends_at: str
    stamp: str
    join: str
    join_short: str
    criteria: list[MeetingCriterion]
    weights: dict[str, int]
    groups: list[str]
    least_tried: int
    map: MeetingMap
    offtakes: list[MeetingOfftake]
    facts: MeetingFacts
    steps: list[MeetingStep]


class WeightSpread(Answer):
    """Between which shares at least half of the room's weights of one criterion lie."""

    name: str
    label: str
    low: float
    middle: float
    high: float


class TurnsOnOpinion(Answer):
    """An offtake that some weightings fund: how many, and on which criterion it turns."""

    code: str
    count: int
    on: str
    more: bool
    words: str


class RoomFigures(Answer):
    """What all weightings tried have in common."""

    weights: list[WeightSpread]
    stays: list[str]
    turns: list[TurnsOnOpinion] = Field(
        description="inside under three weightings at least and outside under as many; at most 40, "
        "those nearest half first"
    )
    turns_count: int
    few: int = Field(description="offtakes that one or two weightings alone put in or out")
    inside_count: int


class TrialShown(Answer):
    """The room's middle, set beside the case."""

    weights: dict[str, int]
    joins: list[str]
    leaves: list[str]
    inside: int
    benefit_share: float


class AgreedShown(Answer):
    """What was agreed."""

    what: AgreedWhat
    words: str
    at: str
    inside_count: int
    benefit_share: float
    inside: list[str] = Field(description="in the case's order of rank")
    weights: dict[str, int] | None = Field(description="of an agreed trial")
    is_trial_shown: bool = Field(description="whether the trial that is shown is the one agreed")


class AgreedLed(AgreedShown):
    """What was agreed, and what was left open."""

    left_open: str
    revision: int = Field(description="one more with each change; a writer says which it saw")


class _Stands(Answer):
    """What stands at a moment, for wall and facilitator alike."""

    at: str
    step: StepName
    held: bool
    door_open: bool
    ended: bool
    phones: int
    tried: int
    sentence: str
    room: RoomFigures | None = Field(description="null where too few weightings were tried")
    trial: TrialShown | None


class NowAnswer(_Stands):
    """What the wall shows at a moment; while it is held, that of holding."""

    model_config = like(NOW)

    agreed: AgreedShown | None


class PlaceSeen(Answer):
    """A place somebody marked; the facilitator alone sees it."""

    phone: int
    x_mm: float
    y_mm: float
    words: str


class StepShown(Answer):
    """A step the wall showed, and from when on."""

    at: str
    step: StepName


class DoneThere(Answer):
    """Something done beside stepping, and when."""

    at: str
    what: str


class LeadAnswer(_Stands):
    """What the facilitator is told: this moment, and what the wall shows of it."""

    model_config = like(LEAD)

    agreed: AgreedLed
    wall: NowAnswer
    present: int = Field(description="phones that look just now")
    groups: dict[str, int]
    unsaid: int
    places: list[PlaceSeen]
    dropped: int
    shown: list[StepShown]
    done: list[DoneThere]
    minutes: bool
