"""Which lines do the rivers take, and where do they meet?

Larger streams are laid first; each smaller one ends where it first comes near a line that lies
already. So no two ever cross, and what meets, meets in a point of both.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.spatial import cKDTree
from shapely import dwithin, get_coordinates, line_interpolate_point, prepare, segmentize
from shapely.geometry import LineString, Point

from .chains import Chain, find_chains
from .frame import Floats, random_stream
from .meander import Course, smoothed, wander
from .noise import Field, smoothstep
from .terrain import Country

TOUCH_KM = 0.42
_LEAST_LENGTH_KM = 5.5
_JOINT_GAP_KM = 2.2
_ANABRANCH_FROM_MOUTH_KM = (112.0, 30.0)


@dataclass
class River:
    """One line downstream; `joins` and `leaves` are positions of rivers (-1 none), with points."""

    line_km: Floats
    joins: int
    leaves: int = -1
    joints_km: list[Floats] = field(default_factory=list)

    @cached_property
    def shape(self) -> LineString:
        return LineString(self.line_km)


@dataclass(frozen=True)
class Network:
    """The rivers (the main one first, the anabranch second) and the loops they have left."""

    rivers: list[River]
    chains: list[Chain]
    chain_of_river: list[int]
    old_arms_km: list[Floats]


def belt_width_km(runoff_km2: Floats) -> Floats:
    """The width that sets the size of bends, drawn larger than life to be seen on a map."""
    return np.asarray(0.088 * (runoff_km2 / 30.0) ** 0.13)


def make_network(country: Country, calm: Field) -> Network:
    """Lay the river, its anabranch, then every other stream by size."""
    chains = find_chains(country)
    old_arms: list[Floats] = []
    main = wander(_course(country, chains[0], calm), 600, old_arms)
    rivers = [River(main.line_km[: -int(round(1.2 / 0.12))], -1)]
    rivers.append(_anabranch(rivers[0], old_arms))
    chain_of_river = [0, -1]
    lengths_km = [
        float(np.hypot(*np.diff(country.mesh.points_km[chain.points], axis=0).T).sum())
        for chain in chains
    ]
    by_size = sorted(range(1, len(chains)), key=lambda i: -float(chains[i].runoff_km2[-1]))
    for index in by_size:
        if lengths_km[index] < _LEAST_LENGTH_KM:
            continue
        river = _laid(_course(country, chains[index], calm), rivers, old_arms)
        if river is not None:
            rivers.append(river)
            chain_of_river.append(index)
    return Network(rivers, chains, chain_of_river, old_arms)


def _course(country: Country, chain: Chain, calm: Field) -> Course:
    line = country.mesh.points_km[chain.points]
    lively = 0.75 + 0.25 * np.tanh(1.5 * calm.at(*line.T))
    freedom = (0.12 + 0.88 * smoothstep(1.0 - 1.4 * country.hilliness[chain.points])) * lively
    course = Course(line, belt_width_km(chain.runoff_km2), freedom).respaced()
    return smoothed(course, 150)


def _laid(course: Course, rivers: list[River], old_arms: list[Floats]) -> River | None:
    """The liveliest version of a stream that keeps clear of the others; None if there is none."""
    laid = _LaidPoints(rivers)
    course = smoothed(laid.led_to_a_river(course), 6)
    full_km = LineString(course.line_km).length
    for moved, arms in reversed(_stages(course)):
        met = laid.first_meeting(moved.line_km)
        if met is None:
            continue
        kept, onto = met
        river = _joined(moved.line_km[:kept], rivers[onto], onto)
        if river is None or river.shape.length < max(_LEAST_LENGTH_KM, 0.9 * full_km):
            continue
        if _is_clear(river, rivers, onto):
            rivers[onto].joints_km.append(river.line_km[-1])
            old_arms.extend(arms)
            return river
    return None


def _stages(course: Course) -> list[tuple[Course, list[Floats]]]:
    """The course before its bends have grown, and at three times while they grow."""
    stages, arms = [(course, list[Floats]())], list[Floats]()
    for steps in (90, 150, 260):
        course = wander(course, steps, arms)
        stages.append((course, arms.copy()))
    return stages


class _LaidPoints:
    """Close-set points of all lines that lie already."""

    def __init__(self, rivers: list[River]) -> None:
        dense = [segmentize(river.shape, 0.15) for river in rivers]
        spots, self._river = get_coordinates(dense, return_index=True)
        self._spots, self._tree = spots, cKDTree(spots)

    def led_to_a_river(self, course: Course) -> Course:
        """The course with one more point, on a river: the one it was to meet may have moved."""
        _, nearest = self._tree.query(course.line_km[-1])
        return Course(
            np.vstack([course.line_km, self._spots[nearest]]),
            np.r_[course.width_km, course.width_km[-1]],
            np.r_[course.freedom, course.freedom[-1]],
        ).respaced()

    def first_meeting(self, line_km: Floats) -> tuple[int, int] | None:
        """First point of the line that is near a river, and which river; None: too soon or never."""
        gap_km, nearest = self._tree.query(line_km, distance_upper_bound=TOUCH_KM)
        near = np.flatnonzero(np.isfinite(gap_km))
        if not len(near) or near[0] < 8:
            return None
        return int(near[0]), int(self._river[nearest[near[0]]])


def _joined(line_km: Floats, onto: River, onto_index: int) -> River | None:
    """End the line a little downstream on the other river, or in a node that is near already."""
    shape = onto.shape
    at_km = shape.project(Point(line_km[-1])) + 0.3
    at_km = min(max(at_km, 1.5), shape.length)
    if shape.length - at_km < _JOINT_GAP_KM:
        at_km = shape.length
    end = np.array(line_interpolate_point(shape, at_km).coords[0])
    if onto.joints_km:
        taken = np.array([shape.project(Point(joint)) for joint in onto.joints_km])
        closest = int(np.argmin(np.abs(taken - at_km)))
        if abs(taken[closest] - at_km) < _JOINT_GAP_KM:
            end = onto.joints_km[closest]
    gap_km = np.hypot(*(line_km - end).T)
    kept = int(np.argmin(gap_km)) + 1
    if gap_km[kept - 1] > 1.6 or kept < 14:
        return None
    line = np.vstack([line_km[:kept], end])
    for _ in range(12):
        eased = line[-12:-1]
        line[-11:-1] += 0.25 * (line[-12:-2] + line[-10:] - 2.0 * eased[1:])
    return River(line, onto_index)


def _is_clear(river: River, rivers: list[River], onto: int) -> bool:
    shape = river.shape
    if not shape.is_simple:
        return False
    end = Point(river.line_km[-1])
    prepare(shape)
    body = LineString(river.line_km[:-1])
    for index, other in enumerate(rivers):
        other_shape = other.shape
        if index == onto or dwithin(other_shape, end, 1e-9):
            if dwithin(body, other_shape, 0.12) or not _only_touches(shape, other_shape, end):
                return False
        elif dwithin(shape, other_shape, 0.25):
            return False
    return True


def _only_touches(shape: LineString, other: LineString, end: Point) -> bool:
    shared = shape.intersection(other.difference(end.buffer(1e-6)))
    return bool(shared.is_empty or shared.distance(end) < 2e-6)


def _anabranch(main: River, old_arms: list[Floats]) -> River:
    """A second arm across the plain, from one point of the river to another far below."""
    shape = main.shape
    upper_km, lower_km = (shape.length - km for km in _ANABRANCH_FROM_MOUTH_KM)
    along_km = np.linspace(upper_km, lower_km, 240)
    axis = get_coordinates(line_interpolate_point(shape, along_km))
    for _ in range(900):
        axis[1:-1] += 0.25 * (axis[:-2] + axis[2:] - 2.0 * axis[1:-1])
    ahead = np.gradient(axis, axis=0)
    ahead /= np.hypot(*ahead.T)[:, None]
    share = np.linspace(0.0, 1.0, len(axis))
    aside_km = 7.5 * np.sin(np.pi * share) ** 0.6 * (1.0 + 0.25 * np.sin(7.0 * share + 0.6))
    axis += aside_km[:, None] * np.column_stack([-ahead[:, 1], ahead[:, 0]])
    course = smoothed(Course(axis, np.full(len(axis), 0.13), np.full(len(axis), 1.0)), 30)
    course.line_km[1:-1] += random_stream(6).normal(0.0, 0.16, (len(course.line_km) - 2, 2))
    line = wander(smoothed(course, 3), 620, old_arms).line_km
    gap_km = np.array([shape.distance(Point(p)) for p in line])
    middle = len(line) // 2
    first = int(np.flatnonzero(gap_km[:middle] < TOUCH_KM)[-1])
    last = middle + int(np.flatnonzero(gap_km[middle:] < TOUCH_KM)[0])
    start_km = shape.project(Point(line[first])) - 0.3
    stop_km = shape.project(Point(line[last])) + 0.3
    ends = [np.array(line_interpolate_point(shape, km).coords[0]) for km in (start_km, stop_km)]
    main.joints_km.extend(ends)
    return River(np.vstack([ends[0], line[first : last + 1], ends[1]]), joins=0, leaves=0)
