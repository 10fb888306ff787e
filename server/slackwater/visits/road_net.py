"""Which roads meet where, and where does a place come onto them?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Geod, Transformer

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
WGS84 = Geod(ellps="WGS84")
SAME_PLACE_DIGITS = 7
"""Decimals of a degree to which points of two roads are the same: about a centimetre."""
Edge = tuple[int, int, float, float]
"""Two nodes, metres between them, km/h (NaN where not known)."""


@dataclass(frozen=True, eq=False)
class Joined:
    """Roads cut where they meet and where places come onto them.

    Attributes
    ----------
    edges : stretches of road.
    nodes : count of all nodes: a node a place, one where each comes onto a road, then junctions.
    off_m : (places,) straight metres from each place to its road.
    """

    edges: tuple[Edge, ...]
    nodes: int
    off_m: Numbers


class RoadNet:
    """A net of roads; lines that share a point meet there.

    Parameters
    ----------
    lines : (points, 2) longitude and latitude in degrees of each road, two points at least.
    speeds_kmh : (roads,) NaN where not known.
    """

    def __init__(self, lines: Sequence[Numbers], speeds_kmh: Numbers) -> None:
        self._lines, self._speeds = lines, speeds_kmh
        lon, lat = np.concatenate(lines).mean(axis=0).tolist()
        # distances from the middle are true, so lengths nearby are right to some parts in 10,000;
        # they serve to find the nearest point alone
        self._plane = Transformer.from_crs(
            "EPSG:4326", f"+proj=aeqd +lat_0={lat} +lon_0={lon} +datum=WGS84", always_xy=True
        )
        self._flat = [self._on_plane(line) for line in lines]
        self._drawn = np.array([shapely.LineString(line) for line in self._flat])
        self._tree = shapely.STRtree(self._drawn)
        self._along_m = [_along(line) for line in lines]
        self._junctions, self._junction_count = _junctions(lines, self._along_m)

    def joined(self, lonlat: Numbers) -> Joined:
        """Cut the roads at their junctions and where (places, 2) places come onto them."""
        places = len(lonlat)
        road, at_m, off_m = self._come_on(lonlat)
        cuts = [[(m, 2 * places + node) for m, node in on_road] for on_road in self._junctions]
        for place in range(places):
            cuts[road[place]].append((float(at_m[place]), places + place))
        edges = [
            (start, end, end_m - start_m, float(speed))
            for on_road, speed in zip(cuts, self._speeds, strict=True)
            for (start_m, start), (end_m, end) in _neighbours(on_road)
        ]
        return Joined(tuple(edges), 2 * places + self._junction_count, off_m)

    def _come_on(self, lonlat: Numbers) -> tuple[Positions, Numbers, Numbers]:
        """(places,) nearest road, metres along it, straight metres to it."""
        points = shapely.points(self._on_plane(lonlat))
        road = self._tree.nearest(points)
        on_plane = shapely.line_locate_point(self._drawn[road], points)
        at_m, there = np.zeros(len(road)), np.zeros((len(road), 2))
        for place, (r, where) in enumerate(zip(road, on_plane, strict=True)):
            flat = self._flat[r]
            steps = np.append(0.0, np.hypot(*np.diff(flat, axis=0).T).cumsum())
            at_m[place] = np.interp(where, steps, self._along_m[r])
            there[place] = [np.interp(where, steps, self._lines[r][:, axis]) for axis in (0, 1)]
        _, _, off_m = WGS84.inv(*lonlat.T, *there.T)
        return road, at_m, np.asarray(off_m, np.float64)

    def _on_plane(self, lonlat: Numbers) -> Numbers:
        return np.column_stack(self._plane.transform(lonlat[:, 0], lonlat[:, 1]))


def _along(line: Numbers) -> Numbers:
    """(points,) geodesic metres from a line's first point."""
    _, _, steps = WGS84.inv(*line[:-1].T, *line[1:].T)
    return np.append(0.0, np.cumsum(steps))


def _neighbours(
    on_road: list[tuple[float, int]],
) -> pairwise[tuple[tuple[float, int], tuple[float, int]]]:
    """Give each node of a road with the one after it."""
    return pairwise(sorted(on_road))


def _junctions(
    lines: Sequence[Numbers], along_m: Sequence[Numbers]
) -> tuple[list[list[tuple[float, int]]], int]:
    """Give metres along and number of each junction of every road, and how many there are.

    A junction is where a road ends or a point stands more than once.
    """
    points = [list(map(tuple, np.round(line, SAME_PLACE_DIGITS).tolist())) for line in lines]
    stands = Counter(point for line in points for point in line)
    stands.update(end for line in points for end in (line[0], line[-1]))
    number: dict[tuple[float, ...], int] = {}
    roads = [
        [
            (float(metres), number.setdefault(point, len(number)))
            for point, metres in zip(line, along, strict=True)
            if stands[point] > 1
        ]
        for line, along in zip(points, along_m, strict=True)
    ]
    return roads, len(number)
