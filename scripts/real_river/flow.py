"""Which flow and warmth does the river have? A borrowed record, and a smooth made-up year."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
from shapely import Point

from .frame import GAUGE_AREA_KM2, GAUGE_ID, SYNTHETIC
from .packages import daily_flow

BORROWED = (
    f"daily flow of {GAUGE_ID}, a public-domain gauge on another river, from the package baseflow "
    f"(example.csv); m3/s assumed; the gauge's area of {GAUGE_AREA_KM2:,.0f} km2 assumed; set at "
    "the outlet and scaled to each reach by drainage area"
)
COLDEST_DAY = 25
"""Day of the year on which the made-up water is coldest."""


def gauges_table(outlet: Point) -> pd.DataFrame:
    """The one gauge, at the lower end of the outlet's reach; x, y in the network's own system."""
    name = f"{GAUGE_ID}: another river's record, unit and area assumed"
    return pd.DataFrame(
        [
            {
                "gauge_id": GAUGE_ID,
                "name": name,
                "area_km2": GAUGE_AREA_KM2,
                "x": round(outlet.x, 6),
                "y": round(outlet.y, 6),
                "source": BORROWED,
            }
        ]
    )


def daily_table() -> pd.DataFrame:
    """Ten years of the record, with a water temperature that is a cosine of the day."""
    flow_m3s = daily_flow()
    days = np.array([date.fromisoformat(day).timetuple().tm_yday for day in flow_m3s.index])
    swing = np.cos(2 * np.pi * (days - COLDEST_DAY) / 365.25)
    return pd.DataFrame(
        {
            "gauge_id": GAUGE_ID,
            "date": flow_m3s.index,
            "flow_m3s": flow_m3s.to_numpy(),
            "water_temp_c": np.round(8.5 - 7.5 * swing, 2),
            "source": f"flow borrowed from another river; temperature {SYNTHETIC.split(':')[0]}",
        }
    )
