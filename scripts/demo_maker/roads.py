"""Which roads join the towns, and which tracks lead to the offtakes?"""

from collections import Counter
from itertools import pairwise

import geopandas as gpd
import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra, minimum_spanning_tree
from shapely.geometry import LineString

from .frame import Floats, Ints, to_degrees
from .meander import Course, smoothed
from .neighbours import nearest_spots
from .places import Town
from .reaches import Reach
from .terrain import Country

_CLASSES = {"highway": 100, "main": 80, "local": 60, "track": 35}
_SHARED_COST = 0.3
_REACH_KM = 1.6


class _Net:
    """The net of points, with what it costs to build a road along each edge."""

    def __init__(self, country: Country, reaches: list[Reach]) -> None:
        mesh = country.mesh
        self.points_km = mesh.points_km
        river_gap_km, _ = nearest_spots(
            np.vstack([r.line_km for r in reaches]),
            0.5 * (mesh.points_km[mesh.edge_from] + mesh.points_km[mesh.edge_to]),
        )
        rise = np.abs(country.height_m[mesh.edge_from] - country.height_m[mesh.edge_to])
        steep = 1.0 + (rise / mesh.edge_km / 14.0) ** 1.2
        wet = 1.0 + 2.6 * np.exp(-((river_gap_km / 0.55) ** 2))
        lake = np.where(country.is_end[mesh.edge_from] | country.is_end[mesh.edge_to], 60.0, 1.0)
        self.edge_from, self.edge_to = mesh.edge_from, mesh.edge_to
        self.cost = mesh.edge_km * steep * wet * lake
        self.road_class: dict[tuple[int, int], str] = {}

    def costs_from(self, nodes: Ints) -> tuple[Floats, Ints]:
        """Least cost from any of the nodes, and the node before; a road that exists is cheap."""
        graph = csr_matrix((self.cost, (self.edge_from, self.edge_to)))
        cost, before, _ = dijkstra(
            graph, directed=False, indices=nodes, min_only=True, return_predecessors=True
        )
        return np.asarray(cost), np.asarray(before)

    def build(self, path: list[int], road_class: str) -> None:
        """Lay a road along a path; the better class stays where one lies already."""
        for a, b in pairwise(path):
            self.road_class.setdefault((min(a, b), max(a, b)), road_class)
        steps = {(a, b) for a, b in pairwise(path)}
        steps |= {(b, a) for a, b in steps}
        on_path = np.isin(self.edge_from, path) & np.isin(self.edge_to, path)
        for edge in np.flatnonzero(on_path).tolist():
            if (int(self.edge_from[edge]), int(self.edge_to[edge])) in steps:
                self.cost[edge] = min(
                    self.cost[edge],
                    _SHARED_COST
                    * float(
                        np.hypot(
                            *(
                                self.points_km[self.edge_from[edge]]
                                - self.points_km[self.edge_to[edge]]
                            )
                        )
                    ),
                )

    def nodes(self) -> Ints:
        return np.unique(np.array(list(self.road_class), dtype=np.int64).ravel())


def _path(before: Ints, node: int) -> list[int]:
    path = [node]
    while before[path[-1]] >= 0:
        path.append(int(before[path[-1]]))
    return path


def make_roads(
    country: Country, reaches: list[Reach], towns: list[Town], offtakes_km: Floats
) -> gpd.GeoDataFrame:
    """Highways between the large towns, roads between neighbours, tracks to far offtakes."""
    net = _Net(country, reaches)
    for road_class, a, b in _links(towns):
        _, before = net.costs_from(np.array([towns[a].node]))
        net.build(_path(before, towns[b].node), road_class)
    for offtake in offtakes_km:
        nodes = net.nodes()
        gap_km, _ = nearest_spots(net.points_km[nodes], offtake)
        if gap_km > _REACH_KM:
            _, before = net.costs_from(nodes)
            near = np.argsort(np.hypot(*(net.points_km - offtake).T), kind="stable")
            net.build(_path(before, int(near[2])), "track" if gap_km < 6.0 else "local")
    return _as_lines(net)


def _links(towns: list[Town]) -> list[tuple[str, int, int]]:
    spots = np.array([town.at_km for town in towns])
    gap_km = np.hypot(*(spots[:, None] - spots[None]).transpose(2, 0, 1))
    links: list[tuple[str, int, int]] = []
    for road_class, least_size in (("highway", 3), ("main", 2), ("local", 1)):
        members = [i for i, town in enumerate(towns) if town.size >= least_size]
        tree = minimum_spanning_tree(csr_matrix(gap_km[np.ix_(members, members)])).tocoo()
        pairs = {(members[a], members[b]) for a, b in zip(tree.row, tree.col, strict=True)}
        if least_size < 3:
            pairs |= _neighbours(gap_km, members)
        links += [(road_class, a, b) for a, b in sorted(pairs, key=lambda p: gap_km[p])]
    return links


def _neighbours(gap_km: Floats, members: list[int]) -> set[tuple[int, int]]:
    """Pairs with no third town in the circle between them (Gabriel graph)."""
    return {
        (a, b)
        for a in members
        for b in members
        if a < b
        and gap_km[a, b] < 75.0
        and all(
            gap_km[a, c] ** 2 + gap_km[b, c] ** 2 > gap_km[a, b] ** 2
            for c in members
            if c not in (a, b)
        )
    }


def _as_lines(net: _Net) -> gpd.GeoDataFrame:
    ways: dict[int, list[int]] = {}
    for a, b in net.road_class:
        ways.setdefault(a, []).append(b)
        ways.setdefault(b, []).append(a)
    kinds = {
        node: Counter(net.road_class[(min(node, n), max(node, n))] for n in near)
        for node, near in ways.items()
    }
    is_node = {node for node, near in ways.items() if len(near) != 2 or len(kinds[node]) > 1}
    rows, seen = [], set()
    for start in sorted(is_node):
        for step in sorted(ways[start]):
            path = [start, step]
            while path[-1] not in is_node:
                path.append(next(n for n in ways[path[-1]] if n != path[-2]))
            key = (
                min(path[0], path[-1]),
                max(path[0], path[-1]),
                min(path[1], path[-2]),
                max(path[1], path[-2]),
            )
            if key in seen:
                continue
            seen.add(key)
            rows.append((net.road_class[(min(path[:2]), max(path[:2]))], net.points_km[path]))
    return _layer(rows)


def _layer(rows: list[tuple[str, Floats]]) -> gpd.GeoDataFrame:
    rows.sort(key=lambda row: (list(_CLASSES).index(row[0]), tuple(row[1][0])))
    records, shapes = [], []
    for number, (road_class, line) in enumerate(rows, start=1):
        course = Course(line, np.full(len(line), 0.5), np.ones(len(line))).respaced()
        records.append(
            {
                "road_id": f"R{number:03d}",
                "name": "Lamplighters' Way" if road_class == "highway" else None,
                "class": road_class,
                "speed_kmh": _CLASSES[road_class],
            }
        )
        shapes.append(LineString(to_degrees(smoothed(course, 10).line_km)))
    return gpd.GeoDataFrame(records, geometry=shapes, crs="EPSG:4326")
