"""Where are the gauges, and what did they record?"""

import geopandas as gpd
import numpy as np
import pandas as pd

from .frame import to_degrees
from .hydrology import Hydrology
from .reaches import Reach

_NAMES = {
    "G-EAST": "{river} above Kindlewall",
    "G-LANTERN": "{river} at Lanternhythe",
    "G-SOUTH": "{river} near its mouth",
    "G-CREEK": "{river} at Wane Ford",
}
# Days lost to floods, flat batteries and moths: gauge, first day, days, flow too?
_GAPS = (
    ("G-LANTERN", "2014-05-03", 6, True),
    ("G-CREEK", "2012-08-19", 4, True),
    ("G-EAST", "2016-10-05", 16, False),
    ("G-SOUTH", "2013-11-28", 7, False),
)


def gauges_layer(
    reaches: list[Reach], hydrology: Hydrology, river_names: list[str]
) -> gpd.GeoDataFrame:
    """Each in the middle of its reach, with the area at that reach's lower end."""
    spots = np.array([reaches[p].middle_km for p in hydrology.gauge_reach.values()])
    return gpd.GeoDataFrame(
        {
            "gauge_id": list(hydrology.gauge_reach),
            "name": [
                _NAMES[gauge].format(river=river_names[reaches[p].river])
                for gauge, p in hydrology.gauge_reach.items()
            ],
            "area_km2": [round(reaches[p].area_km2, 1) for p in hydrology.gauge_reach.values()],
        },
        geometry=gpd.points_from_xy(*to_degrees(spots).T),
        crs="EPSG:4326",
    )


def daily_table(hydrology: Hydrology) -> pd.DataFrame:
    """Flow to four digits and temperature to a tenth; days with neither have no row."""
    days = hydrology.climate.days
    frames = []
    for gauge in hydrology.gauge_reach:
        flow = np.array([float(f"{value:.4g}") for value in hydrology.gauge_flow_m3s(gauge)])
        temperature = np.round(hydrology.climate.water_temp_c[gauge], 1)
        for gap_gauge, first, length, flow_too in _GAPS:
            if gap_gauge == gauge:
                start = int(days.searchsorted(pd.Timestamp(first)))
                temperature[start : start + length] = np.nan
                if flow_too:
                    flow[start : start + length] = np.nan
        frame = pd.DataFrame(
            {
                "gauge_id": gauge,
                "date": days.strftime("%Y-%m-%d"),
                "flow_m3s": flow,
                "water_temp_c": temperature,
            }
        )
        frames.append(frame.dropna(how="all", subset=["flow_m3s", "water_temp_c"]))
    return pd.concat(frames, ignore_index=True)
