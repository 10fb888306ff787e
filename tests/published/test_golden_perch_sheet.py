"""When do pelagic egg spawners spawn in the south?"""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.river.season import suitability
from tests.river_builder import river_of

SOURCE = "Fact sheet on golden perch"
WHERE = "spring to summer, in the south at 17 C and above; the eggs drift"
KNOWN = "text read"


@pytest.mark.parametrize(("water_c", "spawns"), [(16.9, 0.0), (17.0, 1.0), (24.0, 1.0)])
def test_no_spawning_below_17(water_c: float, spawns: float, agrees) -> None:
    """On a day of the season the guild spawns at 17 C and above only, with one corner given."""
    catchment = river_of(
        [{"reach_id": "r"}], [{"reach_id": "r"}],
        guilds=[{"window_start": "09-01", "window_full": "09-01", "window_easing": "02-28",
                 "window_end": "02-28", "temp_full": 17.0}],
        temperatures={"G": np.full(365, water_c)},
    )  # fmt: skip
    dates = catchment.records.dates
    ours = float(suitability(catchment, 0, 0)[0, dates == np.datetime64("2018-11-15")][0])
    agrees(f"suitability on 15 November at {water_c} C", spawns, ours, within=0.0)
