"""When do Murray cod spawn and their larvae drift?"""

from __future__ import annotations

import numpy as np

from slackwater.river.season import suitability
from tests.river_builder import river_of

SOURCE = "Koehn & Harrington 2006"
WHERE = "abstract: spawning from October above 15 C; larvae from early November up to 10 weeks"
KNOWN = "text read"

DATES = np.datetime64("2018-07-01") + np.arange(365)


def suitable(guild: dict[str, object], water_c: float) -> np.ndarray:
    """(days,) suitability of a season-year at one water temperature."""
    catchment = river_of([{"reach_id": "r"}], [{"reach_id": "r"}], guilds=[guild],
                         temperatures={"G": np.full(365, water_c)})  # fmt: skip
    return suitability(catchment, 0, 0)[0]


def test_spawning_from_october_above_15(agrees) -> None:
    """A guild written as the paper says spawns on no day below 15 C and none before 1 October."""
    cod = {
        "window_start": "10-01",
        "window_full": "10-01",
        "window_easing": "12-31",
        "window_end": "12-31",
        "temp_min": 15.0,
    }
    agrees("days that suit at 14.9 C", 0.0, float(suitable(cod, 14.9).sum()), within=0.0)
    first = str(DATES[np.flatnonzero(suitable(cod, 15.0))[0]])
    agrees("first day that suits at 15 C", "2018-10-01", first)


def test_larvae_for_ten_weeks_from_november(agrees) -> None:
    """A window of larvae from 1 November to 9 January is ten weeks, across the new year."""
    larvae = {
        "window_start": "11-01",
        "window_full": "11-01",
        "window_easing": "01-09",
        "window_end": "01-09",
    }
    agrees("days of the window", 70.0, float(suitable(larvae, 20.0).sum()), within=0.0)
