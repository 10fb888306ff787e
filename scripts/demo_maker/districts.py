"""Which part of the catchment belongs to which district, and where is its edge?"""

import numpy as np
from shapely import (
    Polygon,
    STRtree,
    coverage_simplify,
    get_coordinates,
    get_parts,
    line_merge,
    polygonize,
    union_all,
    voronoi_polygons,
)
from shapely.geometry import LineString, MultiPoint, Point
from shapely.geometry.base import BaseGeometry

from .frame import Ints
from .hydrology import Hydrology
from .meander import Course, smoothed
from .neighbours import nearest_spots
from .reaches import Reach
from .rivers import Network
from .terrain import Country

DISTRICTS = ("Kindle Hills", "Wickwater", "Tallowmere", "Gloaming Plain")


def district_of_reach(network: Network, reaches: list[Reach], hydrology: Hydrology) -> Ints:
    """0 above the dam, 1 the middle river, 2 the southern river, 3 below the fork."""
    fork = hydrology.gauge_reach["G-LANTERN"]
    fork_number = reaches[fork].number
    dam_number = reaches[hydrology.dam_reach].number
    south = reaches[hydrology.gauge_reach["G-SOUTH"]].river
    of_river: dict[int, int] = {}

    def of_main(number: int) -> int:
        return 0 if number <= dam_number else 1 if number < fork_number else 3

    def of(river: int) -> int:
        if river in of_river:
            return of_river[river]
        onto = network.rivers[river].joins
        if onto == 0:
            mouth = network.rivers[river].line_km[-1]
            below = [r for r in reaches if r.river == 0]
            gap = [float(np.hypot(*(r.line_km[0] - mouth))) for r in below]
            number = below[int(np.argmin(gap))].number
            of_river[river] = 2 if river == south else of_main(number)
        else:
            of_river[river] = 3 if onto == 1 else of(onto)
        return of_river[river]

    return np.array(
        [
            of_main(reach.number)
            if reach.river == 0
            else 3
            if reach.river == 1
            else of(reach.river)
            for reach in reaches
        ]
    )


def catchment_points(country: Country, network: Network) -> Ints:
    """For each point of the net, the first stream point below it (-1: another catchment)."""
    stream = np.zeros(len(country.height_m), dtype=bool)
    for chain in network.chains:
        stream[chain.points] = True
    mouth = network.chains[0].points[-1]
    below = country.drainage.receiver.copy()
    below[stream] = np.flatnonzero(stream)
    while True:
        further = below[below]
        if np.array_equal(further, below):
            break
        below = further
    below[~stream[below]] = -1
    below[below == mouth] = -1
    return np.asarray(below)


def make_districts(
    country: Country, network: Network, reaches: list[Reach], hydrology: Hydrology
) -> list[Polygon]:
    """One polygon a district, whose edges follow the divides and fit each other."""
    below = catchment_points(country, network)
    inside = np.flatnonzero(below >= 0)
    spots = np.vstack([reach.line_km for reach in reaches])
    reach_of_spot = np.repeat(np.arange(len(reaches)), [len(reach.line_km) for reach in reaches])
    _, nearest = nearest_spots(spots, country.mesh.points_km[below[inside]])
    label = np.full(len(below), -1)
    of_reach = district_of_reach(network, reaches, hydrology)
    label[inside] = of_reach[reach_of_spot[nearest]]
    # A river's banks belong to it even where a divide runs close by (the anabranch crosses one).
    gap_km, nearest = nearest_spots(spots, country.mesh.points_km)
    banks = (label < 0) & (gap_km < 3.0) & ~country.is_end
    label[banks] = of_reach[reach_of_spot[nearest[banks]]]
    cells = get_parts(voronoi_polygons(MultiPoint(country.mesh.points_km)))
    inside = np.flatnonzero(label >= 0)
    point_index, cell_index = STRtree(cells).query(
        [Point(p) for p in country.mesh.points_km[inside]], predicate="within"
    )
    label_of_cell = label[inside[point_index]]
    groups = [
        _largest_part(union_all(cells[cell_index[label_of_cell == district]]))
        for district in range(len(DISTRICTS))
    ]
    return _eased(groups)


def _eased(groups: list[Polygon]) -> list[Polygon]:
    """Soften each stretch of edge once, so that neighbours still fit."""
    edges = get_parts(
        line_merge(union_all([group.boundary for group in coverage_simplify(groups, 0.6)]))
    )
    soft = []
    for edge in edges:
        line = get_coordinates(edge)
        course = Course(line, np.full(len(line), 0.6), np.ones(len(line))).respaced()
        soft.append(LineString(smoothed(course, 14).line_km))
    faces = [face for face in get_parts(polygonize(soft)) if face.area > 3.0]
    return [
        _largest_part(union_all([f for f in faces if group.contains(f.representative_point())]))
        for group in groups
    ]


def _largest_part(shape: BaseGeometry) -> Polygon:
    largest = max(get_parts(shape), key=lambda part: float(part.area))
    return Polygon(largest.exterior)
