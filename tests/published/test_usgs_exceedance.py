"""Is the median flow the one exceeded half of the time?"""

from __future__ import annotations

import numpy as np

from tests.river_builder import river_of

SOURCE = "USGS, percentiles of streamflow"
WHERE = "a flow exceeded 75 % of the time is the 25th percentile; so one exceeded 50 %, the median"
KNOWN = "text read"


def test_median_is_exceeded_half_the_time(agrees) -> None:
    """Of 365 different flows 182 lie above the median the server takes and 182 below."""
    flow = np.random.default_rng(3).permutation(np.arange(1.0, 366.0))
    catchment = river_of([{"reach_id": "r"}], [{"reach_id": "r"}], flows={"G": flow})
    median = catchment.records.median_flow_m3s()[0]
    agrees("days above the median flow", 182, int((flow > median).sum()))
    agrees("days below it", 182, int((flow < median).sum()))
