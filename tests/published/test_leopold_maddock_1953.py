"""How much faster does a river run with twice the water?"""

from __future__ import annotations

import numpy as np

from slackwater.river.travel import pace_of
from tests.river_builder import river_of

SOURCE = "Leopold & Maddock 1953, US Geol. Surv. Prof. Paper 252 (exponents second-hand)"
WHERE = "at a station width, depth and velocity go as Q to .26, .40 and .34, which sum to 1"
KNOWN = "text read"


def test_doubling_the_flow(agrees) -> None:
    """With the default exponent twice the flow runs 1.2658 times as fast; four places given."""
    catchment = river_of([{"reach_id": "r", "velocity_exp": None}], [{"reach_id": "r"}])
    exponent = float(catchment.table("reaches").number("velocity_exp")[0])
    slow, fast = pace_of(catchment).slowness(np.array([[5.0, 10.0]]))[0]
    agrees("velocity at twice the flow over velocity", 1.2658, float(slow / fast), within=5e-5)
    agrees(".26 + .40 + the exponent by default", 1.0, 0.26 + 0.40 + exponent, within=1e-12)
