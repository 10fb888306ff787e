"""What is asked and answered in a meeting; everything told there is public."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from slackwater.api.answers.asked import Asked, Id, Name, Words, asked_like
from slackwater.api.answers.shape import Answer, like

_CODE, _CASE = "K7RM4P", "6b2f5c1e-0a34-4c39-8d53-2f7c1f4b9e10"
_AT, _ENDS = "2026-11-29T08:30:00.000+00:00", "2026-11-29T14:30:00.000+00:00"
MOST_MM = 10_000.0
StepName = Literal["river", "problem", "screens", "list", "room", "choice"]
Group = Literal["", "irrigator", "angler", "traditional owner", "council", "agency", "other"]
AgreedWhat = Literal["", "case", "trial"]
AgreedAskedWhat = Literal["", "case", "trial", "same"]
Level = Annotated[int, Field(strict=True, ge=0, le=10)]
Millimetres = Annotated[float, Field(ge=0, le=MOST_MM, allow_inf_nan=False)]


def _one_line(text: str) -> str:
    """Take blanks and line ends out of the words beside a place."""
    return " ".join(text.split())


PlaceWords = Annotated[Words, Field(max_length=140), AfterValidator(_one_line)]
Paragraph = Annotated[Words, Field(max_length=600)]


class JoinAsked(Asked):
    """Nothing: nobody says who they are."""

    model_config = asked_like({})


class MineAsked(Asked):
    """What a phone weighs, and for whom it speaks."""

    model_config = asked_like({"levels": {"risk": 6, "overlap": 2, "cost": 0}, "group": "angler"})

    levels: dict[Name, Level] | None = Field(
        None,
        max_length=100,
        description="0 to 10 for each criterion; null leaves them as they are, {} takes them back",
    )
    group: Group = Field("", description="empty for whoever says nothing")


class PlaceMarked(Asked):
    """A place that matters to somebody, in mm on the meeting's map."""

    x: Millimetres
    y: Millimetres
    words: PlaceWords = ""


class PlacesAsked(Asked):
    """All places that a phone marks, in place of those before."""

    model_config = asked_like({"places": [{"x": 61.5, "y": 40.0, "words": "the old ford"}]})

    places: list[PlaceMarked] = Field(max_length=3)


class StepAsked(Asked):
    """A prepared view to go to."""

    model_config = asked_like({"step": "problem"})

    step: StepName


class HoldAsked(Asked):
    """Whether the wall stands still."""

    model_config = asked_like({"held": True})

    held: bool = Field(strict=True)


class DoorAsked(Asked):
    """Whether further phones may join."""

    model_config = asked_like({"open": False})

    open: bool = Field(strict=True)


class TrialShownAsked(Asked):
    """Whether the room's middle is set beside the case; its weights are those of that moment."""

    model_config = asked_like({"shown": True})

    shown: bool = Field(strict=True)


class AgreedAsked(Asked):
    """What was agreed; an empty ``what`` takes it back, "same" changes words and nothing else."""

    model_config = asked_like(
        {"what": "case", "words": "Start this winter.", "left_open": "", "seen": 0}
    )

    what: AgreedAskedWhat = Field(description="trial: the one shown now")
    words: Paragraph = ""
    left_open: Paragraph = ""
    seen: Annotated[int, Field(strict=True, ge=0, description="revision of what was there before")]


class MeetingAsked(Asked):
    """A meeting to be opened on a shared case."""

    model_config = asked_like({"case_id": _CASE, "hours": 6})

    case_id: Id
    hours: Annotated[int, Field(strict=True, ge=1, le=24)] = 6


class MeetingMade(Answer):
    """A meeting with its facilitator's key, told this once."""

    model_config = like({
        "code": _CODE, "key": "mVx0…", "ends_at": _ENDS, "wall": f"/meet/{_CODE}/wall",
        "lead": f"/meet/{_CODE}/lead", "join": f"https://river.example/meet/{_CODE}",
    })  # fmt: skip

    code: str
    key: str
    ends_at: str
    wall: str
    lead: str
    join: str = Field(description="what phones open; empty where they cannot reach this service")


class MeetingHead(Answer):
    """A meeting, without what it is led by."""

    code: str
    case_id: str
    case_name: str
    opened_at: str
    by: str
    ends_at: str
    ended_at: str | None = Field(None, description="null while nobody ended it")
    live: bool
    minutes: bool = Field(description="whether there are any; their address opens for 30 days")


class Meetings(Answer):
    """The newest meetings, the newest first."""

    model_config = like({"meetings": [{
        "code": _CODE, "case_id": _CASE, "case_name": "Round one", "opened_at": _AT, "by": "ada",
        "ends_at": _ENDS, "ended_at": None, "live": True, "minutes": False,
    }]})  # fmt: skip

    meetings: list[MeetingHead]


class Joined(Answer):
    """A phone that is in; its token is told this once."""

    model_config = like({"phone": "mVx0…", "number": 7})

    phone: str
    number: int


class MineKept(Answer):
    """What a phone funds by score, under its weights in thousandths; none before it set any."""

    model_config = like({
        "inside": ["A", "C"], "weights": {"risk": 750, "overlap": 250, "cost": 0},
    })  # fmt: skip

    inside: list[str] = Field(description="in the case's order of rank")
    weights: dict[str, int]


class PlaceKept(Answer):
    """A place that a phone marked."""

    x: float
    y: float
    words: str


class Mine(Answer):
    """All that a phone said, told to itself alone."""

    model_config = like({
        "levels": {"risk": 6, "overlap": 2, "cost": 0}, "group": "angler",
        "places": [{"x": 61.5, "y": 40.0, "words": "the old ford"}], "inside": ["A", "C"],
        "weights": {"risk": 750, "overlap": 250, "cost": 0},
    })  # fmt: skip

    levels: dict[str, int] | None
    group: Group
    places: list[PlaceKept]
    inside: list[str]
    weights: dict[str, int] | None


class MeetingClosed(Answer):
    """Where the minutes are, and the case that was agreed."""

    model_config = like({"minutes": f"/meet/{_CODE}/minutes", "case_id": _CASE})

    minutes: str = Field(description="empty where none could be made")
    case_id: str = Field(description="empty where no case was agreed")
