"""How long does it take to drive from one place to another, and how far is it?

Along `roads` by the quickest way, each place joined to the nearest road by a track. Places nearer
to each other than either is to a road are joined by a track too: two pumps on one bank share
theirs. Where there are no roads, or none that leads there, a straight line times a stated factor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from slackwater.visits.road_net import RoadNet

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]
KMH = 1 / 3.6
WGS84 = Geod(ellps="WGS84")


@dataclass(frozen=True)
class Driving:
    """How one drives. Common practice, no source; each is shown and can be set.

    Attributes
    ----------
    detour_factor : way over straight line where no road is known.
    speed_kmh : on that way, and on a road of which no speed is known.
    track_kmh : off the roads, on the way to a place; also times the detour factor.
    """

    detour_factor: float = 1.3
    speed_kmh: float = 60.0
    track_kmh: float = 15.0


@dataclass(frozen=True, eq=False)
class Travel:
    """Ways between places.

    Attributes
    ----------
    seconds, metres : (places, places) of the quickest way; rows from, columns to.
    by_road : (places, places) bool, whether roads are known that lead there.
    """

    seconds: Numbers
    metres: Numbers
    by_road: Flags


def travel_between(lonlat: Numbers, net: RoadNet | None, driving: Driving) -> Travel:
    """Give the ways between (places, 2) longitudes and latitudes in degrees.

    Parameters
    ----------
    net : the roads; None where there are none.
    """
    apart_m = straight_metres(lonlat)
    straight_m = driving.detour_factor * apart_m
    straight_s = straight_m / (driving.speed_kmh * KMH)
    if net is None:
        return Travel(straight_s, straight_m, np.zeros(straight_m.shape, bool))
    joined = net.joined(lonlat)
    off_m = driving.detour_factor * joined.off_m
    edges = _edges(joined.edges, off_m, driving)
    seconds, metres = _quickest(edges, joined.nodes, len(lonlat))
    by_road = np.isfinite(seconds)
    track_s = straight_m / (driving.track_kmh * KMH)
    beside = apart_m <= np.minimum(joined.off_m[:, None], joined.off_m)
    beside &= by_road & (track_s < seconds)
    seconds, metres = np.where(beside, track_s, seconds), np.where(beside, straight_m, metres)
    return Travel(
        np.where(by_road, seconds, straight_s), np.where(by_road, metres, straight_m), by_road
    )


def straight_metres(lonlat: Numbers) -> Numbers:
    """(places, places) geodesic metres between places."""
    start, end = np.meshgrid(np.arange(len(lonlat)), np.arange(len(lonlat)), indexing="ij")
    lon, lat = lonlat.T
    _, _, metres = WGS84.inv(lon[start], lat[start], lon[end], lat[end])
    apart: Numbers = np.asarray(metres, np.float64).reshape(start.shape)
    return apart


@dataclass(frozen=True, eq=False)
class _Edges:
    """Stretches between nodes, each in both directions, the places first among the nodes."""

    start: NDArray[np.int64]
    end: NDArray[np.int64]
    seconds: Numbers
    metres: Numbers


def _edges(
    roads: Sequence[tuple[int, int, float, float]], off_m: Numbers, driving: Driving
) -> _Edges:
    """Add the way from each place to its road, and keep the quickest between each two nodes."""
    places = len(off_m)
    start, end, metres, speed = np.array(roads, np.float64).reshape(-1, 4).T
    speed = np.where(np.isnan(speed), driving.speed_kmh, speed)
    own = np.arange(places)
    ones = np.concatenate((start, own)).astype(np.int64)
    others = np.concatenate((end, places + own)).astype(np.int64)
    long_m = np.concatenate((metres, off_m))
    seconds = np.concatenate((metres / (speed * KMH), off_m / (driving.track_kmh * KMH)))
    low, high = np.minimum(ones, others), np.maximum(ones, others)
    order = np.lexsort((seconds, high, low))
    low, high, seconds, long_m = low[order], high[order], seconds[order], long_m[order]
    first = np.append(True, (np.diff(low) != 0) | (np.diff(high) != 0)) & (low != high)
    return _Edges(low[first], high[first], seconds[first], long_m[first])


def _quickest(edges: _Edges, nodes: int, places: int) -> tuple[Numbers, Numbers]:
    """(places, places) seconds of the quickest ways and their metres; inf where there is none."""
    at = np.concatenate((edges.start, edges.end)), np.concatenate((edges.end, edges.start))
    least = np.finfo(np.float64).tiny  # a way of no length is a way: a sparse 0 would be none
    weight = np.maximum(np.tile(edges.seconds, 2), least)
    graph = csr_array((weight, at), shape=(nodes, nodes))
    lengths = csr_array((np.maximum(np.tile(edges.metres, 2), least), at), shape=(nodes, nodes))
    seconds, before = dijkstra(graph, indices=np.arange(places), return_predecessors=True)
    own = np.arange(places)[:, None]
    reached = before >= 0
    parent = np.where(reached, before, own)
    rows, columns = np.nonzero(reached)
    metres = np.zeros(seconds.shape)
    metres[rows, columns] = lengths[parent[rows, columns], columns]
    while (parent != own).any():  # each turn doubles how far back the sum reaches
        metres = metres + np.take_along_axis(metres, parent, axis=1)
        parent = np.take_along_axis(parent, parent, axis=1)
    return seconds[:, :places], np.where(np.isfinite(seconds), metres, np.inf)[:, :places]
