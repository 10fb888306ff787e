"""What is known of a phone in a meeting? A number, and what it chose to say."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slackwater.errors import UsageError
from slackwater.meeting.weightings import Flags, Weights

GROUPS = ("irrigator", "angler", "traditional owner", "council", "agency", "other")
MOST_LEVEL = 10
MOST_PLACES = 3
MOST_OF_PLACE = 140


@dataclass(frozen=True)
class Place:
    """A place that matters to somebody, on the meeting's map."""

    x_mm: float
    y_mm: float
    words: str


@dataclass(frozen=True, eq=False)
class Phone:
    """One phone.

    Attributes
    ----------
    number : in the order of joining, from 1; never given twice.
    levels : 0 to 10 by criterion, in their order; None where none were set.
    weights, inside : what follows from the levels; who is funded is by row of the offtakes.
    group : one of `GROUPS`, "" where it says nothing.
    streams : open at present.
    """

    number: int
    levels: Mapping[str, int] | None = None
    weights: Weights | None = None
    inside: Flags | None = None
    group: str = ""
    places: tuple[Place, ...] = ()
    streams: int = 0

    @property
    def said_nothing(self) -> bool:
        """Whether nothing is lost where it has to make room."""
        return self.levels is None and not self.group and not self.places


def levels_in_order(levels: Mapping[str, int], criteria: Sequence[str]) -> dict[str, int]:
    """Give levels in the order of the criteria.

    Raises
    ------
    UsageError
        Where one is missing, strange or no whole number from 0 to 10, or where all are 0.
    """
    if set(levels) != set(criteria):
        raise UsageError(f"levels are needed for {', '.join(criteria)}, and for nothing else")
    for name, level in levels.items():
        if type(level) is not int or not 0 <= level <= MOST_LEVEL:
            raise UsageError(f"{name}: a level is a whole number from 0 to {MOST_LEVEL}")
    if not any(levels.values()):
        raise UsageError("something has to count: all levels are 0")
    return {name: levels[name] for name in criteria}


def require_group(group: str) -> None:
    """Refuse a group that is none of those asked for.

    Raises
    ------
    UsageError
        Where it is strange; "" is not.
    """
    if group and group not in GROUPS:
        raise UsageError(f"a group is one of {', '.join(GROUPS)}, or nothing")


def require_places(places: Sequence[Place], map_mm: tuple[float, float]) -> None:
    """Refuse places that are too many, too wordy or not on the map.

    Raises
    ------
    UsageError
        Where they are.
    """
    if len(places) > MOST_PLACES:
        raise UsageError(f"a phone marks at most {MOST_PLACES} places")
    for place in places:
        if len(place.words) > MOST_OF_PLACE:
            raise UsageError(f"at most {MOST_OF_PLACE} characters are kept with a place")
        for at, most in zip((place.x_mm, place.y_mm), map_mm, strict=True):
            if not (math.isfinite(at) and 0 <= at <= most):
                raise UsageError("a place lies on the map")
