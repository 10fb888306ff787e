"""The clean network as a catchment: 720 real reaches under their own column names."""

from __future__ import annotations

from pathlib import Path

import geopandas as gpd
import numpy as np

from .folder import write_catchment
from .frame import GAUGE_ID, SLOPE_FLOOR, depth_m, manning_n, width_m
from .packages import methow_links

SOURCE = (
    "line, links, length, area and slope: package landlab, Methow_Network.shp; width and depth "
    "from area, manning_n from slope: planning assumptions"
)
SETTINGS = f"""\
# A real network (package landlab) with a borrowed flow record (package baseflow, gauge
# {GAUGE_ID} on another river, m3/s and the gauge's area assumed). Offtakes, fish, screens, prices
# and water temperature are synthetic: nothing here says anything about the real Methow.
name = "Methow network, synthetic offtakes"
crs = "ESRI:102008"  # the Shapefile comes without a .prj
currency = "USD"
time_zone = "UTC"

[columns.reaches]
reach_id = "GridID"
to_reach = "ToLink"
length_m = "Length_m"
area_km2 = "usarea_km2"
slope = "Slope"

[screen_criteria]
name = "Synthetic criteria"
approach_velocity_ms = 0.1
approach_velocity_passive_ms = 0.06
max_opening_mm = 2.4
"""


def build_methow(folder: Path) -> None:
    """Write the catchment into a folder that is not there yet."""
    links = with_channel(methow_links(), area="usarea_km2", slope="Slope").assign(source=SOURCE)
    reaches = links.rename(
        columns={"usarea_km2": "area_km2", "Length_m": "length_m", "Slope": "slope"}
    ).assign(reach_id=links["GridID"].astype(str))
    write_catchment(
        folder, links, reaches, SETTINGS, offtakes=150, least_area_km2=100.0, prefix="MN"
    )


def with_channel(links: gpd.GeoDataFrame, *, area: str, slope: str) -> gpd.GeoDataFrame:
    """Add gauge, width, depth and roughness; slopes not above the floor become the floor."""
    floored = np.maximum(links[slope].to_numpy(), SLOPE_FLOOR)
    area_km2 = links[area].to_numpy()
    return links.assign(
        **{slope: floored},
        gauge_id=GAUGE_ID,
        width_m=width_m(np.maximum(area_km2, 0.01)),
        depth_m=depth_m(np.maximum(area_km2, 0.01)),
        manning_n=manning_n(floored),
    )
