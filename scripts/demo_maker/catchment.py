"""How do the parts follow from each other, from bare land to tables?"""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
from shapely.geometry import LineString

from . import biology, gauges, names, screens
from .areas import measure
from .climate import make_climate
from .districts import make_districts
from .draws import metered_table, months_of_use
from .frame import random_stream
from .ground import Ground, make_ground
from .hydrology import Hydrology, make_hydrology
from .land import land_layer
from .noise import Field
from .offtake_rows import offtake_ids, offtakes_layer
from .offtakes import make_offtakes
from .places import depots_layer, make_towns, places_layer
from .reach_rows import reaches_table
from .reaches import Reach, cut_reaches
from .rivers import Network, make_network
from .roads import make_roads
from .terrain import Country, make_country


@dataclass(frozen=True)
class Landscape:
    """Land and rivers: what the geometric truths hold of."""

    country: Country
    network: Network
    ground: Ground
    reaches: list[Reach]
    river_names: list[str]
    reach_ids: list[str]


def make_landscape() -> Landscape:
    """Terrain first, rivers from the way water takes over it."""
    country = make_country()
    network = make_network(country, Field(random_stream(5), 22.0, 2))
    ground = make_ground(country, network)
    reaches = cut_reaches(network, ground)
    measure(country, network, reaches)
    river_names = names.river_names(network, reaches)
    return Landscape(
        country, network, ground, reaches, river_names, names.reach_ids(river_names, reaches)
    )


def make_reaches_layer(land: Landscape, hydrology: Hydrology) -> gpd.GeoDataFrame:
    """The reaches with their lines."""
    table = reaches_table(land.reaches, hydrology, land.reach_ids, land.river_names, land.ground)
    lines = [LineString(reach.line_degrees) for reach in land.reaches]
    return gpd.GeoDataFrame(table, geometry=lines, crs="EPSG:4326")


def make_layers(land: Landscape) -> dict[str, pd.DataFrame]:
    """All tables of the data contract, by name."""
    hydrology = make_hydrology(land.network, land.reaches, make_climate())
    towns = make_towns(land.country, land.reaches, hydrology, land.ground)
    districts = make_districts(land.country, land.network, land.reaches, hydrology)
    offtakes = make_offtakes(land.reaches, hydrology, land.ground, towns)
    ids = offtake_ids(offtakes)
    return {
        "reaches": make_reaches_layer(land, hydrology),
        "splits": _splits(land),
        "weirs": biology.weirs_table(land.reaches, hydrology, land.reach_ids),
        "gauges": gauges.gauges_layer(land.reaches, hydrology, land.river_names),
        "daily": gauges.daily_table(hydrology),
        "guilds": biology.guilds_table(),
        "production": biology.production_table(
            land.reaches, hydrology, land.reach_ids, land.ground
        ),
        "offtakes": offtakes_layer(offtakes, land.reach_ids, hydrology, districts),
        "metered": metered_table(offtakes, ids, months_of_use(offtakes), hydrology),
        "options": screens.options_table(),
        "efficacy": screens.efficacy_table(),
        "prices": screens.prices_table(),
        "places": places_layer(towns),
        "roads": make_roads(
            land.country, land.reaches, towns, np.array([site.at_km for site in offtakes])
        ),
        "depots": depots_layer(towns),
        "land": land_layer(land.country, land.network, land.reaches, land.ground, towns, districts),
    }


def _splits(land: Landscape) -> pd.DataFrame:
    return pd.DataFrame(
        [
            {
                "from_reach": land.reach_ids[position],
                "to_reach": land.reach_ids[below],
                "share": round(share, 6),
            }
            for position, reach in enumerate(land.reaches)
            for below, share in reach.splits
        ]
    )
