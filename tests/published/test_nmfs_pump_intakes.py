"""How large is a fish screen for a pump, by the US fisheries service's criteria?"""

from __future__ import annotations

import pytest

from slackwater.screens.sizing import size_screens
from slackwater.units import flow_in
from tests.river_builder import river_of

SOURCE = "US NMFS, juvenile fish screen criteria for pump intakes (addendum)"
WHERE = "effective area = largest flow / approach; salmonid fry 0.4 ft/s active, 0.2 passive screen"
KNOWN = "text read"

FOOT_M = 0.3048
ACTIVE_FTS, PASSIVE_FTS = 0.4, 0.2


@pytest.mark.parametrize(
    ("cleaning", "area_ft2"), [("brush", 1 / ACTIVE_FTS), ("none", 1 / PASSIVE_FTS)]
)
def test_a_pump_of_1_cfs(cleaning: str, area_ft2: float, agrees) -> None:
    """A pump of 1 cfs needs 2.5 square feet of an active screen and 5 of a passive one.

    The tolerance is rounding: foot and velocity are exact.
    """
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": 1 / flow_in(1.0, "cfs")}],
        options=[{"cleaning": cleaning, "approach_velocity_ms": 9.0}],
        settings={"screen_criteria": {"approach_velocity_ms": ACTIVE_FTS * FOOT_M,
                                      "approach_velocity_passive_ms": PASSIVE_FTS * FOOT_M}},
    )  # fmt: skip
    ours_m2 = float(size_screens(catchment).area_m2[0, 0])
    agrees(f"area for 1 cfs, cleaning {cleaning}, ft2", area_ft2, ours_m2 / FOOT_M**2, within=1e-9)
