"""How do the tables become files?"""

from pathlib import Path

import geopandas as gpd
import pandas as pd
import pyogrio

# A fixed date keeps the file the same, byte for byte, each time it is made.
pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": "2024-06-07T00:00:00.000Z"})

_TEXT = {
    "to_reach", "name", "label", "landholder", "licence", "contact", "reach_id", "guild_id",
    "fitted", "quote_option", "observed_on", "district", "window_start", "kinds", "kind", "source",
    "species",
}  # fmt: skip


def write_geopackage(path: Path, layers: dict[str, pd.DataFrame]) -> None:
    """One layer a table; tables without points or lines become attribute layers."""
    path.unlink(missing_ok=True)
    for name, table in layers.items():
        typed = table.copy()
        for column in typed.columns:
            if column == "geometry":
                continue
            if column in _TEXT or _is_text(typed[column]):
                typed[column] = typed[column].astype(object).where(typed[column].notna(), None)
            else:
                typed[column] = pd.to_numeric(typed[column])
        if isinstance(table, gpd.GeoDataFrame):
            typed = gpd.GeoDataFrame(typed, geometry="geometry", crs=table.crs)
            pyogrio.write_dataframe(typed, path, layer=name, driver="GPKG", promote_to_multi=False)
        else:
            pyogrio.write_dataframe(typed, path, layer=name, driver="GPKG")


def _is_text(column: pd.Series) -> bool:
    known = column.dropna()
    return bool(len(known)) and isinstance(known.iloc[0], str)
