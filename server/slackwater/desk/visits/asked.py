"""What is asked of a run of field days, and what a visit there means in the field's words."""

from __future__ import annotations

from dataclasses import dataclass, field

from slackwater.desk.field.forms import FORM_OF
from slackwater.desk.funding_desk import Asked
from slackwater.errors import UsageError
from slackwater.visits.travel import Driving

MOST_DAYS, MOST_MINUTES = 14, 24 * 60
SERVICE_MINUTES = 45.0
"""At a site, common practice, no source; shown and settable."""

FORMS_OF_INPUT = {
    "draw": ("plate_capacity", "running"),
    "position": ("position_words", "photo"),
    "depth_m": ("depth_today", "gauge_reading", "depth_low"),
    "night_use_share": ("night_share",),
}
"""Which fields of the form settle an input of the model."""


@dataclass(frozen=True)
class RunAsked:
    """A run to be planned.

    Attributes
    ----------
    funding : the budget and conditions whose best set a measurement could change.
    minutes : of each day, from leaving the depot to being back.
    depot : its name, "" for the first there is; ``start`` (longitude, latitude) goes before it.
    must, never : codes to be seen whatever they are worth, and not at all.
    """

    funding: Asked
    minutes: tuple[float, ...]
    depot: str = ""
    start: tuple[float, float] | None = None
    service_minutes: float = SERVICE_MINUTES
    must: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    driving: Driving = field(default_factory=Driving)

    def check(self, known: dict[str, int]) -> None:
        """Refuse what cannot be planned.

        Raises
        ------
        UsageError
            Where there are no days or too many, a code is not known, or both must and never be.
        """
        if not 1 <= len(self.minutes) <= MOST_DAYS:
            raise UsageError(f"a run has 1 to {MOST_DAYS} days")
        if not all(0 < each <= MOST_MINUTES for each in self.minutes):
            raise UsageError("a day has more than 0 minutes and at most 24 hours")
        for code in (*self.must, *self.never):
            if code not in known:
                raise UsageError(f"there is no offtake {code!r} here")
        both = sorted(set(self.must) & set(self.never))
        if both:
            raise UsageError(f"{', '.join(both)}: asked to be seen and not to be seen")


def driving_of(*, detour_factor: float, speed_kmh: float, track_kmh: float) -> Driving:
    """Give how one drives from plain values."""
    return Driving(detour_factor, speed_kmh, track_kmh)


def how_to_measure(name: str) -> str:
    """Say how an input is measured at a site, as the form at the pump does."""
    return " ".join(FORM_OF[form].how for form in FORMS_OF_INPUT[name] if form != "photo")


def hours(minutes: float) -> str:
    """Say how long: ``45 min``, ``2 h 05``."""
    whole = round(minutes)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d}"
