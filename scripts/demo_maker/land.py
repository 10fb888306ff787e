"""Which land is town, forest or wetland?"""

import geopandas as gpd
import numpy as np
from shapely import (
    Polygon,
    affinity,
    box,
    get_coordinates,
    get_parts,
    segmentize,
    set_precision,
    transform,
    union_all,
)
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from .districts import DISTRICTS
from .frame import HALF_HEIGHT_KM, HALF_WIDTH_KM, Bools, Floats, random_stream, to_degrees
from .ground import Ground
from .neighbours import nearest_spots
from .noise import Field
from .places import Town
from .reaches import Reach
from .rivers import Network
from .terrain import Country

_TOWN_RADIUS_KM = {1: 0.55, 2: 0.85, 3: 1.25, 4: 1.9}


def land_layer(
    country: Country,
    network: Network,
    reaches: list[Reach],
    ground: Ground,
    towns: list[Town],
    districts: list[Polygon],
) -> gpd.GeoDataFrame:
    """Districts first, then what lies on them."""
    lake = lake_shape(country)
    wetlands = _wetlands(network, reaches)
    rows: list[tuple[str, str | None, BaseGeometry]] = []
    rows += [("district", name, shape) for name, shape in zip(DISTRICTS, districts, strict=True)]
    rows += [("forest", None, part) for part in _forests(reaches, ground, lake)]
    rows += [("wetland", None, part) for part in wetlands]
    rows.append(("wetland", "Lake Candlewane", lake))
    rows += [("town", town.name, _blot(town)) for town in towns]
    shapes = [transform(shape, lambda xy: to_degrees(np.asarray(xy))) for _, _, shape in rows]
    return gpd.GeoDataFrame(
        {"name": [name for _, name, _ in rows], "kind": [kind for kind, _, _ in rows]},
        geometry=shapes,
        crs="EPSG:4326",
    )


def lake_shape(country: Country) -> Polygon:
    """The lake in which the river ends."""
    spots = country.mesh.points_km[country.is_end & ~country.mesh.on_rim]
    joined = union_all([Point(spot).buffer(1.1) for spot in spots])
    largest = max(get_parts(joined), key=lambda part: part.area)
    return Polygon(largest.buffer(2.0).buffer(-2.6).exterior).simplify(0.05)


def _blot(town: Town) -> Polygon:
    rng = random_stream(40 + town.node)
    angles = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)
    waves = np.zeros(len(angles))
    for k in (1, 2, 3, 4):
        waves += rng.normal(0.0, 0.16 / k) * np.cos(k * angles + rng.uniform(0, 6))
    radius = _TOWN_RADIUS_KM[town.size] * (1.0 + waves)
    ring = np.column_stack([np.cos(angles), np.sin(angles)]) * radius[:, None]
    return Polygon(ring + town.at_km)


def _forests(reaches: list[Reach], ground: Ground, lake: Polygon) -> list[Polygon]:
    """On the hills, in patches, and along the large river on the plain."""
    rng = random_stream(41)
    patches, along = Field(rng, 16.0, 3), Field(rng, 14.0, 2)
    x_km = np.arange(-HALF_WIDTH_KM + 4.5, HALF_WIDTH_KM - 4.0)
    y_km = np.arange(-HALF_HEIGHT_KM + 4.5, HALF_HEIGHT_KM - 4.0)
    x, y = np.meshgrid(x_km, y_km)
    hills = ground.hilliness_at(x, y)
    spots = np.vstack([r.line_km for r in reaches if r.river <= 1 and r.runoff_km2 > 1400])
    gap_km = nearest_spots(spots, np.stack([x, y], axis=-1))[0]
    upland = hills + 0.28 * patches.at(x, y) > 0.62
    riverine = (gap_km < 2.3) & (along.at(x, y) > 0.35) & (hills < 0.2)
    return [
        part
        for part in _rounded(x, y, upland | riverine)
        if part.area > 5.0 and not part.intersects(lake)
    ]


def _rounded(x: Floats, y: Floats, inside: Bools) -> list[Polygon]:
    cells = union_all(box(x[inside] - 0.5, y[inside] - 0.5, x[inside] + 0.5, y[inside] + 0.5))
    soft = cells.buffer(1.1).buffer(-2.0).buffer(0.9).simplify(0.12)
    rounded = []
    for part in get_parts(soft):
        line = get_coordinates(segmentize(part.exterior, 0.6))[:-1]
        for _ in range(6):
            line = 0.5 * line + 0.25 * (np.roll(line, 1, axis=0) + np.roll(line, -1, axis=0))
        shape = Polygon(line).simplify(0.04)
        if shape.is_valid:
            rounded.append(shape)
    return rounded


def _wetlands(network: Network, reaches: list[Reach]) -> list[Polygon]:
    """Old arms, and pools beside the anabranch."""
    rng = random_stream(42)
    arms = [LineString(arm).buffer(0.14) for arm in network.old_arms_km if len(arm) > 6]
    pools = []
    for reach in reaches:
        if reach.river != 1:
            continue
        for _ in range(2):
            spot = reach.line_km[int(rng.integers(len(reach.line_km)))]
            turn, stretch = rng.uniform(0, 180), rng.uniform(0.4, 0.8)
            pool = Point(spot + rng.normal(0.0, 1.0, 2)).buffer(rng.uniform(0.5, 1.3))
            pools.append(affinity.rotate(affinity.scale(pool, 1.0, stretch), turn))
    joined = union_all([*arms, *pools]).buffer(0.15).buffer(-0.15).simplify(0.03)
    return [set_precision(Polygon(part.exterior), 1e-4) for part in get_parts(joined)]
