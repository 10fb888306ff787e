"""What must flow in must flow through: slot velocities and screen areas by continuity."""

from __future__ import annotations

import pytest

from slackwater.screens.sizing import size_screens
from slackwater.units import FLOW_PER_M3S
from tests.river_builder import river_of

SOURCE = "Continuity"
WHERE = "slot velocity = approach / open share; area = flow / approach"
KNOWN = "computed from the stated formula"


@pytest.mark.parametrize(("open_share", "slot_ms"), [(0.27, 0.370), (0.40, 0.250), (0.50, 0.200)])
def test_slot_velocity(open_share: float, slot_ms: float, agrees) -> None:
    """At 0.1 m/s approach the slots run at 0.370, 0.250, 0.200 m/s; three places given."""
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r"}],
        options=[{"open_share": open_share, "approach_velocity_ms": 0.1}],
    )
    ours = float(size_screens(catchment).slot_ms[0])
    agrees(f"slot velocity at {open_share:.0%} open, m/s", slot_ms, ours, within=5e-4)


@pytest.mark.parametrize(("ml_per_day", "area_m2"), [(10, 1.157), (50, 5.787), (100, 11.574)])
def test_area(ml_per_day: float, area_m2: float, agrees) -> None:
    """At 0.1 m/s 10, 50 and 100 ML/d need 1.157, 5.787 and 11.574 m2; three places given."""
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": ml_per_day / FLOW_PER_M3S["ML/d"]}],
        options=[{"approach_velocity_ms": 0.1, "unit_area_m2": area_m2 / 3}],
    )
    sizing = size_screens(catchment)
    agrees(f"area for {ml_per_day} ML/d, m2", area_m2, float(sizing.area_m2[0, 0]), within=5e-4)
