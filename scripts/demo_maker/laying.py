"""How does a stream find its place among those that lie already?

It ends where it first comes near another line; where its bends would touch one, it bends less.
"""

import numpy as np
from shapely import dwithin, get_coordinates, line_interpolate_point, prepare, segmentize
from shapely.geometry import LineString, Point

from .frame import Floats
from .meander import Course, smoothed, wander
from .neighbours import nearest_spots
from .river import River

TOUCH_KM = 0.42
LEAST_LENGTH_KM = 5.5
_JOINT_GAP_KM = 2.2


def lay(course: Course, rivers: list[River], old_arms: list[Floats]) -> River | None:
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
        if river is None or river.shape.length < max(LEAST_LENGTH_KM, 0.9 * full_km):
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
        self._spots = spots

    def led_to_a_river(self, course: Course) -> Course:
        """The course with one more point, on a river: the one it was to meet may have moved."""
        _, nearest = nearest_spots(self._spots, course.line_km[-1])
        return Course(
            np.vstack([course.line_km, self._spots[nearest]]),
            np.r_[course.width_km, course.width_km[-1]],
            np.r_[course.freedom, course.freedom[-1]],
        ).respaced()

    def first_meeting(self, line_km: Floats) -> tuple[int, int] | None:
        """First point of the line near a river, and which river; None: too soon or never."""
        gap_km, nearest = nearest_spots(self._spots, line_km)
        near = np.flatnonzero(gap_km < TOUCH_KM)
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
