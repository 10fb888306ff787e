"""What stands in the minutes of a meeting? Facts, as they were when it closed."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports.map_drawing import MapDrawing
from slackwater.reports.signs import Sign
from slackwater.reports.stamp import Stamp


@dataclass(frozen=True)
class StepShown:
    """A prepared view that stood on the wall.

    Attributes
    ----------
    first_at : ISO moment, in the hall's own time.
    minutes : for how long in all.
    """

    title: str
    first_at: str
    times: int
    minutes: float


@dataclass(frozen=True)
class DoneThere:
    """Something done beside stepping, and when: ISO, in the hall's own time."""

    at: str
    what: str


@dataclass(frozen=True)
class CriterionWeighed:
    """How the room weighed one criterion, shares 0..1; None where the room is not told."""

    label: str
    of_case: float
    low: float | None = None
    middle: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Site:
    """An offtake as the minutes tell of it.

    Attributes
    ----------
    reach : name of the river there, "" where it has none.
    band : cost from and to; None where there is none to tell.
    under : of the weightings tried, how many put it inside; None where that is not told.
    on : label of the criterion it turns on, "" where it turns on none.
    more : whether those who put it inside weigh that criterion more.
    """

    code: str
    rank: int
    sign: Sign
    reach: str
    loss_share: float
    band: tuple[float, float] | None
    under: int | None
    on: str = ""
    more: bool = False


@dataclass(frozen=True)
class Bought:
    """What a set buys: how many offtakes are inside, and the share of the loss avoided."""

    inside: int
    benefit_share: float


@dataclass(frozen=True)
class Agreed:
    """What the room agreed on.

    Attributes
    ----------
    what : ``case`` as it stood, ``trial`` that became a case of its own, or "" for nothing.
    weights : label and thousandths of each criterion of the agreed set.
    joins, leaves : codes, against the case as it stood.
    words, left_open : the facilitator's own, "" where nothing was written.
    """

    what: str
    case_name: str
    way: str
    bought: Bought
    weights: tuple[tuple[str, int], ...]
    joins: tuple[str, ...]
    leaves: tuple[str, ...]
    words: str
    left_open: str


@dataclass(frozen=True)
class Room:
    """What the weightings tried have in common.

    Attributes
    ----------
    stays : inside under every one, by rank.
    turns : inside under three at least and outside under as many, nearest half first.
    few : how many others one or two weightings alone put in or out.
    inside : how many are inside by score under the middle of the weights.
    """

    stays: tuple[Site, ...]
    turns: tuple[Site, ...]
    few: int
    inside: int


@dataclass(frozen=True)
class Minutes:
    """All that stands in the minutes.

    Attributes
    ----------
    way : of the case, as it is called on paper.
    opened_at, ended_at : ISO moments in the hall's own time.
    done : what was done beside stepping, the first first.
    best_proven : whether no other set gains more than the best one.
    groups : group and how many phones spoke for it; None for fewer than three.
    without : groups that no phone spoke for.
    counts_told : whether counts of groups are told at all.
    listed : the set that is agreed, or the case where nothing is; by rank.
    skipped : what the ranks are that it has not: "" none, "round" or "outside".
    """

    code: str
    stamp: Stamp
    way: str
    currency: str
    budget: float
    opened_at: str
    ended_at: str
    shown: tuple[StepShown, ...]
    done: tuple[DoneThere, ...]
    phones: int
    tried: int
    least_tried: int
    weighed: tuple[CriterionWeighed, ...]
    room: Room | None
    by_score: Bought
    best: Bought
    best_proven: bool
    groups: tuple[tuple[str, int | None], ...]
    without: tuple[str, ...]
    counts_told: bool
    agreed: Agreed
    listed: tuple[Site, ...]
    skipped: str
    drawing: MapDrawing
