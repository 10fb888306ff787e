"""A catchment being invented: its tables and settings as they will be written, and what the
inventors agree on.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from math import cos, pi
from random import Random
from typing import Any

Row = dict[str, Any]

# Open ocean, far from land and from the antimeridian: degrees east and north.
SOUTHERN_SEAS = [(100.0, -36.0), (-118.0, -33.0), (73.0, -29.0), (-20.0, -25.0)]
NORTHERN_SEAS = [(-40.0, 32.0), (-148.0, 38.0), (-35.0, 48.0), (1.0, 68.5)]
# Names whose code point order is not the order of a dictionary.
NAMES = [
    "alder",
    "Birch",
    "007",
    "7",
    "cedar",
    "Zelkova",
    "\u00e9clat",
    "B-2",
    "b2",
    "A10",
    "A9",
    "oak",
]

# How often an invention is aimed at a feature, in a hundred.
# Whether the feature then occurs and matters is looked at after.
AIMS = {
    "split": 60,
    "twins": 26,
    "dry_day": 55,
    "weir": 50,
    "gap": 60,
    "trigger": 50,
    "temperature": 70,
    "temperature_gap": 65,
    "leap_day": 55,
    "shared_reach": 60,
    "mid_length": 55,
    "fitted": 55,
    "metered": 55,
    "zero": 60,
    "quote": 65,
    "idle_pair": 22,
    "residents": 50,
    "nursery": 50,
    "night": 55,
    "stages": 55,
    "year_weights": 55,
    "allocation": 50,
    "criterion": 45,
    "snapped": 60,
    "manning": 60,
    "area_scale": 60,
    "incomplete_year": 40,
    "cease_flow": 60,
    "use_missing": 45,
    "use_borrowed": 55,
    "second_gauge": 65,
    "weights": 50,
    "screen_criteria": 65,
    "projected": 12,
    "plain_points": 30,
    "renamed": 20,
    "year_end": 40,
}


@dataclass
class Draft:
    rng: Random
    aims: set[str]
    sea: tuple[float, float]
    start_month: int
    years: list[int]  # season-years meant to be complete
    centre_day: int  # of the season-year; spawning, dry spells, gaps and records are around it
    tables: dict[str, list[Row]] = field(default_factory=dict)
    settings: dict[str, Any] = field(default_factory=dict)

    def chance(self, percent: float) -> bool:
        """True in so many cases of a hundred."""
        return self.rng.random() * 100 < percent

    def between(self, low: float, high: float, places: int = 3) -> float:
        """A number between two, to so many places."""
        return round(self.rng.uniform(low, high), places)

    def spread(self, low: float, high: float, figures: int = 3) -> float:
        """A number between two, as likely near the low as near the high on a log scale."""
        return float(f"{low * (high / low) ** self.rng.random():.{figures}g}")

    def names(self, prefix: str, count: int) -> list[str]:
        """So many ids, in no order."""
        return [prefix + name for name in self.rng.sample(NAMES, count)]

    def season_start(self, year: int) -> date:
        """The first day of a season-year."""
        return date(year, self.start_month, 1)

    def centre(self, year: int) -> date:
        """The day that spawning is around."""
        return self.season_start(year) + timedelta(days=self.centre_day)

    def usual_temperature_c(self, day: date) -> float:
        """The invented course of water temperature: warmest in the hemisphere's late summer."""
        warmest = 35 if self.sea[1] < 0 else 215
        return 16 + 6 * cos(2 * pi * (day.timetuple().tm_yday - warmest) / 365.25)


def begin(seed: int) -> Draft:
    """The facts that the inventors share: where, when, and what to aim at."""
    rng = Random(seed)
    aims = {aim for aim, percent in AIMS.items() if rng.random() * 100 < percent}
    south = rng.random() < 0.55
    sea = rng.choice(SOUTHERN_SEAS if south else NORTHERN_SEAS)
    start_month, settings = (7 if south else 1), {}
    if rng.random() < 0.25:
        start_month = rng.choice([3, 4, 5, 9, 10])
        settings["season_start_month"] = start_month
    first_year, count = rng.randint(2009, 2021), rng.choice([1, 2, 2, 2, 3, 3])
    if "leap_day" in aims:
        leap_season = rng.choice([2012, 2016, 2020]) - (0 if start_month <= 2 else 1)
        first_year = leap_season - rng.randint(0, count - 1)
    draft = Draft(
        rng, aims, sea, start_month, list(range(first_year, first_year + count)), 0, {}, settings
    )
    if "leap_day" in aims and start_month not in (2, 3):
        february = date(first_year if start_month == 1 else first_year + 1, 2, 28)
        draft.centre_day = (february - draft.season_start(first_year)).days + rng.randint(-4, 4)
    elif "year_end" in aims:
        draft.centre_day = rng.choice([4, 357, 360])
    else:
        draft.centre_day = rng.randint(40, 320)
    return draft
