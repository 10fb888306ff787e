"""What do wedge wire screens for lowland native fish ask of us?"""

from __future__ import annotations

from slackwater.screens.sizing import size_screens
from tests.paired_intakes import fewer_drifters
from tests.river_builder import river_of

SOURCE = "Stocks, Walsh, Rayner, Boys 2024, Mar. Freshw. Res. 75 MF23239"
WHERE = "abstract: approach <= 0.1 m/s, 2 mm vertical wedge wire; larvae at most 84 % fewer taken"
KNOWN = "text read"


def test_larvae_at_most_84_per_cent_fewer(agrees) -> None:
    """An efficacy of 0.84 means what the trial measured: 84 % fewer larvae taken."""
    agrees("fewer larvae taken with efficacy 0.84", 0.84, fewer_drifters(0.84), within=1e-12)


def test_approach_is_held_to_the_criteria(agrees) -> None:
    """An option made for faster water is sized at the criteria's 0.1 m/s; a slower one stays."""
    catchment = river_of(
        [{"reach_id": "r"}], [{"reach_id": "r"}],
        options=[{"approach_velocity_ms": 0.125}, {"approach_velocity_ms": 0.06}],
        settings={"screen_criteria": {"approach_velocity_ms": 0.1}},
    )  # fmt: skip
    fast, slow = size_screens(catchment).approach_ms
    agrees("approach of an option made for 0.125 m/s", 0.1, float(fast), within=0.0)
    agrees("approach of an option made for 0.06 m/s", 0.06, float(slow), within=0.0)
