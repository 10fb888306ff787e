"""What is a meeting at one moment? Frozen values that any thread may read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from slackwater.meeting.history import Done, Stood
from slackwater.meeting.led import Agreed
from slackwater.meeting.phones import Place
from slackwater.meeting.weightings import Flags, SharedOut, Spread, Turn, Weights

LEAST_TRIED = 5
"""Fewer weightings than this are not shown, as somebody's own could be read off them."""


@dataclass(frozen=True)
class Basis:
    """What a meeting rests on for all its life.

    Attributes
    ----------
    criteria : names, in order.
    shared_out : thousandths in the proportion of some numbers, in so many whole parts.
    inside_of : who is funded under some weights, by row of the offtakes.
    map_mm : width and height of the map on which places are marked.
    """

    criteria: tuple[str, ...]
    shared_out: SharedOut
    inside_of: Callable[[Weights], Flags]
    map_mm: tuple[float, float]


@dataclass(frozen=True, eq=False)
class Figures:
    """What all that was tried has in common; rows as in the table of offtakes.

    Attributes
    ----------
    inside : who is funded under the middle weights.
    stays : who is funded under every weighting.
    turns : who divides the hall, in the order of the offtakes.
    few : how many others are funded under some: one or two weightings stand alone there, so that
        they are told as a number only.
    """

    spread: Spread
    inside: Flags
    stays: Flags
    turns: tuple[Turn, ...]
    few: int


@dataclass(frozen=True, eq=False)
class Trial:
    """Weights set beside those of the case, and who is funded under them."""

    weights: Weights
    inside: Flags


@dataclass(frozen=True, eq=False)
class Snapshot:
    """What the wall shows, or would if it were not held.

    Attributes
    ----------
    at : when it last changed; ISO, UTC.
    phones : that joined and were not dropped.
    tried : weightings that stand, one a phone.
    figures : None below `LEAST_TRIED` of them.
    """

    at: str
    step: str
    held: bool
    door_open: bool
    ended: bool
    phones: int
    tried: int
    figures: Figures | None
    trial: Trial | None
    agreed: Agreed


@dataclass(frozen=True, eq=False)
class LeadSnapshot:
    """What the facilitator sees beside the wall.

    Attributes
    ----------
    now : of this moment, also where the wall is held.
    groups : phones by the group they speak for; unsaid : those that say none.
    places : number of a phone and a place it marked.
    present : phones with an open stream; dropped : how many were.
    shown : steps the wall showed; done : what else was done there.
    """

    now: Snapshot
    groups: Mapping[str, int]
    unsaid: int
    places: tuple[tuple[int, Place], ...]
    present: int
    dropped: int
    shown: tuple[Stood, ...]
    done: tuple[Done, ...]
