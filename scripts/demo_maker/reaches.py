"""Where is each river cut into reaches, what flows into what, and how large is each?"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely import line_locate_point, points
from shapely.ops import substring

from .frame import Floats, geodesic_length_m, random_stream, to_degrees
from .ground import Ground
from .rivers import Network

ANABRANCH_SHARE = 0.3
_REACH_KM = 8.7
_WIDTH_M_PER_KM2, _WIDTH_POWER = 0.66, 0.43


@dataclass
class Reach:
    """One stretch; areas are those past its lower end, `share` what a split leaves of them."""

    river: int
    number: int
    line_km: Floats
    line_degrees: Floats
    length_m: float
    slope: float
    area_km2: float = 0.0
    runoff_km2: float = 0.0
    to: int = -1
    splits: tuple[tuple[int, float], ...] = ()
    is_arm: bool = False

    @property
    def width_m(self) -> float:
        return float(round(_WIDTH_M_PER_KM2 * self.area_km2**_WIDTH_POWER, 1))

    @property
    def middle_km(self) -> Floats:
        return np.asarray(self.line_km[len(self.line_km) // 2])


def cut_reaches(network: Network, ground: Ground) -> list[Reach]:
    """All reaches, river by river, each river from its head down."""
    rng = random_stream(7)
    reaches: list[Reach] = []
    start_of: dict[tuple[int, int], int] = {}
    for index, river in enumerate(network.rivers):
        joints_km = sorted(
            float(line_locate_point(river.shape, points(joint))) for joint in river.joints_km
        )
        cuts_km = _cuts(rng, river.shape.length, joints_km)
        for number, (upper, lower) in enumerate(pairwise(cuts_km)):
            line = np.array(substring(river.shape, upper, lower).coords)
            degrees = to_degrees(line)
            length_m = geodesic_length_m(degrees)
            top_m, foot_m = ground.beds[index].height_at(np.array([upper, lower]))
            slope = float(top_m - foot_m) / length_m
            start_of[(index, round(upper * 1000))] = len(reaches)
            reaches.append(Reach(index, number, line, degrees, length_m, slope))
    _connect(network, reaches, start_of)
    return reaches


def _cuts(rng: np.random.Generator, length_km: float, joints_km: list[float]) -> list[float]:
    fixed = [0.0]
    for joint in joints_km:
        if joint - fixed[-1] > 1e-6:
            fixed.append(joint)
    if length_km - fixed[-1] > 1e-6:
        fixed.append(length_km)
    cuts = [0.0]
    for upper, lower in pairwise(fixed):
        span_km = lower - upper
        pieces = max(round(span_km / _REACH_KM), int(np.ceil(span_km / 11.0)))
        shaken = np.arange(1, pieces) + rng.uniform(-0.12, 0.12, pieces - 1)
        inner = upper + span_km * shaken / pieces
        cuts.extend([*inner.tolist(), lower])
    return cuts


def _connect(network: Network, reaches: list[Reach], start_of: dict[tuple[int, int], int]) -> None:
    for position, reach in enumerate(reaches):
        following = position + 1
        if following < len(reaches) and reaches[following].river == reach.river:
            reach.to = following
            continue
        onto = network.rivers[reach.river].joins
        if onto >= 0:
            shape = network.rivers[onto].shape
            at_km = float(line_locate_point(shape, points(reach.line_km[-1])))
            near = [
                (abs(key[1] / 1000 - at_km), start)
                for key, start in start_of.items()
                if key[0] == onto
            ]
            gap_km, reach.to = min(near)
            if gap_km > 0.01:
                raise RuntimeError(f"river {reach.river} meets no node of river {onto}")
    for index, river in enumerate(network.rivers):
        if river.leaves >= 0:
            first = next(p for p, r in enumerate(reaches) if r.river == index)
            start = reaches[first].line_km[0]
            above = next(
                r
                for r in reaches
                if r.river == river.leaves and np.hypot(*(r.line_km[-1] - start)) < 0.01
            )
            above.splits = ((above.to, 1.0 - ANABRANCH_SHARE), (first, ANABRANCH_SHARE))


def upstream_first(reaches: list[Reach]) -> list[int]:
    """Positions of all reaches, each before those it drains to."""
    waiting = [0] * len(reaches)
    for reach in reaches:
        for below, _ in outflows(reach):
            waiting[below] += 1
    ready = [position for position, count in enumerate(waiting) if count == 0]
    order = []
    while ready:
        position = ready.pop(0)
        order.append(position)
        for below, _ in outflows(reaches[position]):
            waiting[below] -= 1
            if waiting[below] == 0:
                ready.append(below)
    return order


def outflows(reach: Reach) -> tuple[tuple[int, float], ...]:
    """The reaches it drains to, with shares."""
    return reach.splits or (((reach.to, 1.0),) if reach.to >= 0 else ())
