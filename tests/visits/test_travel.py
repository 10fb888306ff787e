"""Ways between places are networkx's shortest paths over the same roads."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import networkx as nx
import numpy as np
import pyogrio
import pytest
import shapely
from pyproj import Geod, Transformer

from slackwater.visits.road_net import RoadNet
from slackwater.visits.travel import Driving, Travel, travel_between

DEMO = Path(__file__).resolve().parents[2] / "demo_data" / "lantern.gpkg"
WGS84 = Geod(ellps="WGS84")
DRIVING = Driving()


def by_networkx(lines: list[np.ndarray], speeds: np.ndarray, places: np.ndarray) -> nx.Graph:
    """Lay every point of every road out as a node, and each place onto its nearest point.

    The nearest point is found by another projection than the server's: a transverse Mercator.
    """
    lon, lat = np.concatenate(lines).mean(axis=0)
    flat = Transformer.from_crs(
        "EPSG:4326", f"+proj=tmerc +lat_0={lat} +lon_0={lon} +datum=WGS84", always_xy=True
    )
    on_plane = [np.column_stack(flat.transform(*line.T)) for line in lines]
    graph = nx.Graph()
    cuts: dict[tuple[int, int], list[tuple[float, tuple[str, int]]]] = {}
    for place, lonlat in enumerate(places):
        point = np.array(flat.transform(*lonlat))
        found = min(
            (*_nearest(point, line[k], line[k + 1]), road, k)
            for road, line in enumerate(on_plane)
            for k in range(len(line) - 1)
        )
        _, share, road, k = found
        cuts.setdefault((road, k), []).append((share, ("on", place)))
        there = lines[road][k] + share * (lines[road][k + 1] - lines[road][k])
        _, _, off = WGS84.inv(*lonlat, *there)
        off *= DRIVING.detour_factor
        graph.add_edge(("at", place), ("on", place), seconds=off / (DRIVING.track_kmh / 3.6), m=off)
    for road, line in enumerate(lines):
        for k in range(len(line) - 1):
            ends = [(0.0, ("point", *line[k])), (1.0, ("point", *line[k + 1]))]
            chain = sorted([*ends, *cuts.get((road, k), [])], key=lambda each: each[0])
            _, _, long = WGS84.inv(*line[k], *line[k + 1])
            speed = DRIVING.speed_kmh if np.isnan(speeds[road]) else speeds[road]
            for (a, one), (b, other) in pairwise(chain):
                metres = (b - a) * long
                seconds = metres / (speed / 3.6)
                known = graph.get_edge_data(one, other)
                if known is None or seconds < known["seconds"]:
                    graph.add_edge(one, other, seconds=seconds, m=metres)
    return graph


def _nearest(point: np.ndarray, start: np.ndarray, end: np.ndarray) -> tuple[float, float]:
    """Give distance to a segment and the share of it at which that is."""
    along = end - start
    length = float(along @ along)
    share = float(np.clip((point - start) @ along / length, 0, 1)) if length else 0.0
    return float(np.hypot(*(point - start - share * along))), share


def agrees(travel: Travel, graph: nx.Graph, places: np.ndarray) -> None:
    """Hold every pair against networkx: seconds, metres of that way, and whether a road leads."""
    for one in range(len(places)):
        seconds = nx.single_source_dijkstra_path_length(graph, ("at", one), weight="seconds")
        off = [graph.edges[("at", p), ("on", p)]["m"] / DRIVING.detour_factor
               for p in range(len(places))]  # fmt: skip
        for other in range(len(places)):
            if other == one:
                assert travel.seconds[one, other] == 0
                continue
            _, _, apart = WGS84.inv(*places[one], *places[other])
            straight = DRIVING.detour_factor * apart
            expected = seconds.get(("at", other), np.inf)
            assert travel.by_road[one, other] == np.isfinite(expected)
            if not np.isfinite(expected):
                expected = straight / (DRIVING.speed_kmh / 3.6)
            elif apart <= min(off[one], off[other]):
                expected = min(expected, straight / (DRIVING.track_kmh / 3.6))
            assert travel.seconds[one, other] == pytest.approx(expected, rel=2e-4, abs=0.5)


@pytest.mark.parametrize("seed", range(6))
def test_random_roads(seed: int) -> None:
    """Grids with gaps, some speeds unknown, a part that no road joins to the rest."""
    rng = np.random.default_rng(seed)
    points = {(i, j): np.array([142 + 0.05 * i, -35 + 0.04 * j]) + rng.normal(0, 0.004, 2)
              for i in range(6) for j in range(5)}  # fmt: skip
    lines = []
    for (i, j), at in points.items():
        for di, dj in ((1, 0), (0, 1)):
            other = points.get((i + di, j + dj))
            apart = i == 3 and di == 1  # the east is another island
            if other is not None and not apart and rng.random() < 0.85:
                middle = (at + other) / 2 + rng.normal(0, 0.003, 2)
                lines.append(np.array([at, middle, other]))
    speeds = rng.choice([np.nan, 40.0, 80.0, 100.0], len(lines))
    places = np.column_stack((rng.uniform(141.98, 142.27, 12), rng.uniform(-35.02, -34.82, 12)))
    travel = travel_between(places, RoadNet(lines, speeds), DRIVING)
    graph = by_networkx(lines, speeds, places)
    agrees(travel, graph, places)
    assert np.allclose(travel.seconds, travel.seconds.T)


def test_the_demos_roads_and_the_length_of_the_ways() -> None:
    """Thirty sites and a depot of the demo; metres are those of networkx's quickest way."""
    roads = pyogrio.read_dataframe(DEMO, layer="roads")
    sites = pyogrio.read_dataframe(DEMO, layer="offtakes").geometry[::7]
    lines = [shapely.get_coordinates(line) for line in roads.geometry]
    speeds = roads["speed_kmh"].to_numpy(float)
    places = np.array([[point.x, point.y] for point in sites])
    travel = travel_between(places, RoadNet(lines, speeds), DRIVING)
    graph = by_networkx(lines, speeds, places)
    agrees(travel, graph, places)
    assert travel.by_road.all()
    for other in range(1, len(places)):
        way = nx.dijkstra_path(graph, ("at", 0), ("at", other), weight="seconds")
        metres = sum(graph.edges[a, b]["m"] for a, b in pairwise(way))
        assert travel.metres[0, other] == pytest.approx(metres, rel=2e-4)


def test_without_roads_a_straight_line_times_the_factor() -> None:
    """One degree of latitude is 110.6 km at the equator (WGS84): 1.3 times that at 60 km/h."""
    places = np.array([[0.0, 0.0], [0.0, 1.0]])
    travel = travel_between(places, None, DRIVING)
    assert travel.metres[0, 1] == pytest.approx(1.3 * 110_574, rel=1e-5)
    assert travel.seconds[0, 1] == pytest.approx(1.3 * 110_574 / (60 / 3.6), rel=1e-5)
    assert not travel.by_road.any()


def test_two_pumps_on_one_bank_share_their_track() -> None:
    """Both 1 km off the road, 100 m apart: one drives over by the track, not back to the road."""
    road = np.array([[142.0, -35.0], [142.2, -35.0]])
    metre = 1 / 111_000
    places = np.array([[142.1, -35 + 1000 * metre], [142.1 + 110 * metre, -35 + 1000 * metre]])
    travel = travel_between(places, RoadNet([road], np.array([80.0])), DRIVING)
    assert 100 < travel.metres[0, 1] < 140
    assert travel.seconds[0, 1] == pytest.approx(travel.metres[0, 1] / (15 / 3.6))
