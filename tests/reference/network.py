"""Which way the river runs, how long its reaches are and where its offtakes stand: the model page,
section 1.
"""

from __future__ import annotations

from dataclasses import dataclass

from pyproj import Geod, Proj

from .tables import Catchment, Offtake, Point

WGS84 = Geod(ellps="WGS84")


@dataclass(frozen=True)
class Station:
    """A place on a reach where something happens: an offtake, or (without id) the release at mid-
    length.
    """

    chainage_m: float
    offtake_id: str | None


@dataclass(frozen=True)
class Network:
    order: list[str]  # upstream before downstream
    below: dict[
        str, list[tuple[str, float]]
    ]  # reach below and share of drifters; empty at an outlet
    length_m: dict[str, float]
    reach_of: dict[str, str]  # by offtake
    chainage_m: dict[str, float]  # by offtake
    stations: dict[str, list[Station]]  # by reach, from its upper end


def build_network(catchment: Catchment) -> Network:
    """The model page, section 1 (and section 5 for the order of offtakes on a reach)."""
    below = reaches_below(catchment)
    length_m: dict[str, float] = {}
    for reach in catchment.reaches.values():
        geodesic_m = geodesic_length_m(reach.line)
        length_m[reach.reach_id] = geodesic_m if reach.length_m is None else reach.length_m
    reach_of: dict[str, str] = {}
    chainage_m: dict[str, float] = {}
    for offtake in catchment.offtakes.values():
        reach_id, chainage = place_of(offtake, catchment, length_m)
        reach_of[offtake.offtake_id] = reach_id
        chainage_m[offtake.offtake_id] = chainage
    stations: dict[str, list[Station]] = {}
    for reach_id in catchment.reaches:
        stations[reach_id] = stations_of(reach_id, length_m[reach_id], reach_of, chainage_m)
    return Network(upstream_first(below), below, length_m, reach_of, chainage_m, stations)


def reaches_below(catchment: Catchment) -> dict[str, list[tuple[str, float]]]:
    """The model page, section 1: rows in `splits` replace `to_reach`; shares are divided by their
    sum.
    """
    below: dict[str, list[tuple[str, float]]] = {}
    for reach in catchment.reaches.values():
        arms = [split for split in catchment.splits if split.from_reach == reach.reach_id]
        if arms:
            total = sum(split.share for split in arms)
            below[reach.reach_id] = [(split.to_reach, split.share / total) for split in arms]
        elif reach.to_reach:
            below[reach.reach_id] = [(reach.to_reach, 1.0)]
        else:
            below[reach.reach_id] = []
    return below


def upstream_first(below: dict[str, list[tuple[str, float]]]) -> list[str]:
    """The model page, section 1: a directed acyclic network, listed so that each reach comes before
    those below.
    """
    order: list[str] = []
    waiting = sorted(below)
    while waiting:
        fed_by_waiting = {lower for upper in waiting for lower, _ in below[upper]}
        free = [reach_id for reach_id in waiting if reach_id not in fed_by_waiting]
        if not free:
            raise ValueError("the network has a cycle")
        order += free
        waiting = [reach_id for reach_id in waiting if reach_id in fed_by_waiting]
    return order


def stations_of(
    reach_id: str, length_m: float, reach_of: dict[str, str], chainage_m: dict[str, float]
) -> list[Station]:
    """The model page, section 5: by chainage, ties by id; an offtake at mid-length acts before the
    release there.
    """
    mid_m = length_m / 2
    offtakes = sorted((chainage_m[i], i) for i in reach_of if reach_of[i] == reach_id)
    above = [Station(chainage, i) for chainage, i in offtakes if chainage <= mid_m]
    under = [Station(chainage, i) for chainage, i in offtakes if chainage > mid_m]
    return [*above, Station(mid_m, None), *under]


def place_of(
    offtake: Offtake, catchment: Catchment, length_m: dict[str, float]
) -> tuple[str, float]:
    """The model page, section 1: the reach and chainage of an offtake, snapped where they are
    empty.
    """
    if offtake.reach_id and offtake.chainage_m is not None:
        return offtake.reach_id, offtake.chainage_m
    candidates = [offtake.reach_id] if offtake.reach_id else sorted(catchment.reaches)
    nearest: tuple[float, str, float] | None = None
    for reach_id in candidates:
        line = catchment.reaches[reach_id].line
        distance_m, along_m = nearest_point(offtake.point, line)
        if nearest is None or distance_m < nearest[0]:
            nearest = (distance_m, reach_id, length_m[reach_id] * along_m / geodesic_length_m(line))
    assert nearest is not None
    _, reach_id, snapped_m = nearest
    return reach_id, snapped_m if offtake.chainage_m is None else offtake.chainage_m


def geodesic_length_m(line: list[Point]) -> float:
    """The model page, section 1: geodesic means WGS84, two-dimensional."""
    return sum(geodesic_m(line[k], line[k + 1]) for k in range(len(line) - 1))


def geodesic_m(start: Point, end: Point) -> float:
    """The model page, section 1: the geodesic between two points."""
    _, _, distance_m = WGS84.inv(start[0], start[1], end[0], end[1])
    return float(distance_m)


def nearest_point(point: Point, line: list[Point]) -> tuple[float, float]:
    """The model page, section 1: distance to the line and geodesic length along it to its nearest
    point.

    The search is made in an azimuthal equidistant projection centred on the point, which is its
    origin.
    """
    plane = Proj(proj="aeqd", lon_0=point[0], lat_0=point[1], ellps="WGS84")
    flat = [plane(lon, lat) for lon, lat in line]
    best_m, best_along_m = float("inf"), 0.0
    passed_m = 0.0
    for k in range(len(line) - 1):
        (ax, ay), (bx, by) = flat[k], flat[k + 1]
        run_x, run_y = bx - ax, by - ay
        squared = run_x**2 + run_y**2
        part = 0.0 if squared == 0 else min(1.0, max(0.0, -(ax * run_x + ay * run_y) / squared))
        x, y = ax + part * run_x, ay + part * run_y
        distance_m = (x**2 + y**2) ** 0.5
        if distance_m < best_m:
            lon, lat = plane(x, y, inverse=True)
            best_m, best_along_m = distance_m, passed_m + geodesic_m(line[k], (lon, lat))
        passed_m += geodesic_m(line[k], line[k + 1])
    return best_m, best_along_m
