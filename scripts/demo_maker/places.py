"""Where do people live, and where do the field crews start?"""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np

from .frame import Floats, random_stream, to_degrees
from .ground import Ground
from .hydrology import Hydrology
from .neighbours import nearest_spots
from .reaches import Reach
from .terrain import Country

# By size: the largest sits where two rivers meet.
_TOWNS = (
    (4, ("Lanternhythe",)),
    (3, ("Tallowgate", "Kindlewall", "Gloamstead")),
    (2, ("Snuffercross", "Taperlock", "Glimmerbank", "Sconceholm", "Mothwick")),
    (1, ("Cinderstow", "Dimmerholt", "Flickerden", "Vespergarth", "Halothwaite", "Tinderfold",
         "Wanelight", "Duskenby", "Lampersend", "Spillmarsh")),
)  # fmt: skip
_APART_KM = {4: 0.0, 3: 38.0, 2: 26.0, 1: 16.0}


@dataclass(frozen=True)
class Town:
    """A place on the plane; `node` is its point of the net, where roads meet."""

    name: str
    size: int
    node: int
    at_km: Floats


def make_towns(
    country: Country, reaches: list[Reach], hydrology: Hydrology, ground: Ground
) -> list[Town]:
    """On a bank, by preference at a mouth, the large ones far apart."""
    rng = random_stream(20)
    fork = reaches[hydrology.gauge_reach["G-LANTERN"]].line_km[0]
    dam = reaches[hydrology.dam_reach].line_km[-1]
    ends = np.array([reach.line_km[-1] for reach in reaches if reach.to >= 0])
    hills = ground.hilliness_at(*ends.T)
    flow = np.array([hydrology.mean_flow_m3s(i) for i, r in enumerate(reaches) if r.to >= 0])
    appeal = flow**0.3 * np.exp(-2.2 * hills) * rng.uniform(0.5, 1.5, len(ends))
    river_spots = np.vstack([reach.line_km for reach in reaches])
    mesh_gap_km, _ = nearest_spots(river_spots, country.mesh.points_km)
    dry_nodes = np.flatnonzero((mesh_gap_km > 0.7) & (mesh_gap_km < 2.0) & ~country.is_end)
    node_spots = country.mesh.points_km[dry_nodes]
    towns: list[Town] = []
    for size, names in _TOWNS:
        for name in names:
            chance = appeal.copy()
            if towns:
                taken = np.array([town.at_km for town in towns])
                gap_km = np.hypot(*(ends[:, None] - taken[None]).transpose(2, 0, 1)).min(axis=1)
                chance[gap_km < _APART_KM[size]] = 0.0
            place = ends[int(np.argmax(chance))]
            place = fork if size == 4 else dam if name == "Kindlewall" else place
            node = int(dry_nodes[nearest_spots(node_spots, place)[1]])
            towns.append(Town(name, size, node, country.mesh.points_km[node]))
    return towns


def places_layer(towns: list[Town]) -> gpd.GeoDataFrame:
    """The towns as points."""
    degrees = to_degrees(np.array([town.at_km for town in towns]))
    return gpd.GeoDataFrame(
        {"name": [town.name for town in towns], "size": [town.size for town in towns]},
        geometry=gpd.points_from_xy(*degrees.T),
        crs="EPSG:4326",
    )


def depots_layer(towns: list[Town]) -> gpd.GeoDataFrame:
    """Three yards, each near a town of its own region."""
    homes = [towns[0], towns[2], towns[1]]
    spots = np.array([(*town.at_km, 0.6, -0.4) for town in homes])
    return gpd.GeoDataFrame(
        {"name": [f"{town.name} yard" for town in homes]},
        geometry=gpd.points_from_xy(*to_degrees(spots).T),
        crs="EPSG:4326",
    )
