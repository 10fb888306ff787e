"""How does the trial become a catchment's folder? Reaches as a Shapefile, the rest as CSV."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from pathlib import Path

import geopandas as gpd
import pandas as pd
import pyogrio

from .fish import guilds_table, production_table
from .flow import daily_table, gauges_table
from .offtakes import offtakes_table
from .screens import efficacy_table, options_table, prices_table


def write_catchment(
    folder: Path,
    links: gpd.GeoDataFrame,
    reaches: gpd.GeoDataFrame,
    settings: str,
    *,
    offtakes: int,
    least_area_km2: float,
    prefix: str,
) -> None:
    """Write a folder that `slackwater check` can read.

    Parameters
    ----------
    links : the Shapefile to write, under the package's own column names, with its own system.
    reaches : the same rows under the contract's names, lines in metres in the system that the
        settings name: from these the synthetic tables follow.
    settings : text of `catchment.toml`.
    """
    folder.mkdir(parents=True)
    with warnings.catch_warnings():
        # The one network comes without a named system; the settings name it.
        warnings.filterwarnings("ignore", message="'crs' was not provided")
        pyogrio.write_dataframe(links, folder / "reaches.shp", driver="ESRI Shapefile")
    outlet = reaches.loc[reaches["area_km2"].idxmax(), "geometry"]
    sited = offtakes_table(reaches, count=offtakes, least_area_km2=least_area_km2, prefix=prefix)
    columns = (reaches[name].to_numpy() for name in ("area_km2", "length_m", "slope"))
    tables: Mapping[str, pd.DataFrame] = {
        "gauges": gauges_table(outlet.interpolate(1.0, normalized=True)),
        "daily": daily_table(),
        "guilds": guilds_table(),
        "production": production_table(reaches["reach_id"].tolist(), *columns),
        "offtakes": sited,
        "options": options_table(),
        "efficacy": efficacy_table(),
        "prices": prices_table(),
    }
    for name, table in tables.items():
        table.to_csv(folder / f"{name}.csv", index=False, lineterminator="\n")
    (folder / "catchment.toml").write_text(settings, encoding="utf-8", newline="\n")
