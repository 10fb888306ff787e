"""Where in the installed packages do the real networks and the real flow record lie?"""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import geopandas as gpd
import pandas as pd

FLOW_COLUMN = "US_09447000"
NETWORKS = Path("data", "io", "shapefile")


class NotInstalledError(Exception):
    """A package that holds the data is not there."""


def package_folder(name: str) -> Path:
    """Give a package's folder without importing it: only its files are wanted.

    Raises
    ------
    NotInstalledError
        Where the package is not there.
    """
    spec = find_spec(name)
    if spec is None or spec.origin is None:
        raise NotInstalledError(f"package {name} is not installed: run scripts/setup --dev")
    return Path(spec.origin).parent


def methow_links() -> gpd.GeoDataFrame:
    """(720,) directed reaches of the network in the package landlab, without a named system."""
    return gpd.read_file(
        package_folder("landlab") / NETWORKS / "methow" / "Methow_Network.shp", engine="pyogrio"
    )


def soque_links() -> gpd.GeoDataFrame:
    """(317,) directed reaches of the defective network in the package landlab, in EPSG:4269."""
    return gpd.read_file(
        package_folder("landlab") / NETWORKS / "soque" / "Soque_Links.shp", engine="pyogrio"
    )


def daily_flow() -> pd.Series:
    """(3652,) daily flow of 2001 to 2010 by ISO date, m3/s assumed: the package names no unit."""
    record = pd.read_csv(package_folder("baseflow") / "example.csv", dtype={"time": str})
    return record.set_index("time")[FLOW_COLUMN]
