"""The defective network as a catchment, which has to be refused.

Its links are joined by node numbers stored as decimal numbers, some a hair off the whole
(`15001100009492.998`). A programme that holds them as whole numbers cuts them, and then two
links begin and end at one and the same node: they drain into themselves.
"""

from __future__ import annotations

from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from .folder import write_catchment
from .methow import with_channel
from .packages import soque_links

MARKS_NOTHING = -9998
KEPT = ["Permanent_", "FromNode", "ToNode", "TotDASqKm", "Slope", "MaxElevRaw", "MinElevRaw"]
METRES = "ESRI:102008"
SETTINGS = f"""\
# A real network with real defects (package landlab, Soque_Links.shp). Flow is another river's
# record; offtakes, fish, screens, prices and water temperature are synthetic.
name = "Soque network, synthetic offtakes"
crs = "{METRES}"  # of the x and y of gauges and offtakes; the Shapefile names its own
currency = "USD"

[columns.reaches]
reach_id = "Permanent_"
area_km2 = "TotDASqKm"
slope = "Slope"
"""


def build_soque(folder: Path, *, whole_numbers: bool = True) -> None:
    """Write the catchment into a folder that is not there yet.

    Parameters
    ----------
    whole_numbers : join links by node numbers cut to whole ones; else as the file has them.
    """
    links = soque_links()[[*KEPT, "geometry"]]
    links = links.replace(MARKS_NOTHING, np.nan)
    ends = [links[name].to_numpy() for name in ("FromNode", "ToNode")]
    if whole_numbers:
        ends = [np.floor(each) for each in ends]
    links = links.assign(to_reach=links_below(links["Permanent_"].tolist(), *ends))
    links = with_channel(links, area="TotDASqKm", slope="Slope")
    lines = links.to_crs(METRES)
    reaches = lines.rename(
        columns={"Permanent_": "reach_id", "TotDASqKm": "area_km2", "Slope": "slope"}
    ).assign(length_m=lines.length)
    write_catchment(folder, links, reaches, SETTINGS, offtakes=12, least_area_km2=20.0, prefix="SN")


def links_below(
    reach_ids: list[str], from_node: NDArray[np.float64], to_node: NDArray[np.float64]
) -> list[str]:
    """Give the reach that begins where each ends: itself, else the first in the file, else ""."""
    starts = pd.Series(reach_ids, index=from_node).groupby(level=0).first()
    return [
        own if start == end else str(starts.get(end, ""))
        for own, start, end in zip(reach_ids, from_node, to_node, strict=True)
    ]


def self_loops(links: gpd.GeoDataFrame) -> list[str]:
    """Ids of links whose two node numbers, cut to whole ones, are the same."""
    from_node, to_node = (np.floor(links[name]) for name in ("FromNode", "ToNode"))
    return [str(each) for each in links.loc[from_node == to_node, "Permanent_"]]
