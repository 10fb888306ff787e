"""How does a river come by its bends?

Each bank is cut where the water upstream has been turned towards it: the rate at a point is its own
curvature, and that of the stretch above it, fading over a few widths (the form of Howard and
Knutson 1984, from memory). Loops that touch are cut off and left as old arms.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.signal import lfilter
from scipy.spatial import cKDTree

from .frame import Floats

_SPACING_WIDTHS = 0.7
_MEMORY_WIDTHS = 3.2
_NECK_WIDTHS = 1.9


@dataclass
class Course:
    """A line downstream (n, 2) in km, the belt width (km) and the freedom to move at its points."""

    line_km: Floats
    width_km: Floats
    freedom: Floats

    def respaced(self) -> "Course":
        """The same line with points spaced by the width."""
        step_km = np.hypot(*np.diff(self.line_km, axis=0).T)
        mid_width = 0.5 * (self.width_km[1:] + self.width_km[:-1])
        measure = np.r_[0.0, np.cumsum(step_km / (mid_width * _SPACING_WIDTHS))]
        wanted = np.linspace(0.0, measure[-1], max(round(measure[-1]), 4) + 1)
        return Course(
            np.column_stack([np.interp(wanted, measure, axis) for axis in self.line_km.T]),
            np.interp(wanted, measure, self.width_km),
            np.interp(wanted, measure, self.freedom),
        )


def smoothed(course: Course, passes: int) -> Course:
    """Draw the points towards their neighbours; the two ends stay."""
    line = course.line_km.copy()
    for _ in range(passes):
        line[1:-1] += 0.25 * (line[:-2] + line[2:] - 2.0 * line[1:-1])
    return Course(line, course.width_km, course.freedom).respaced()


def wander(course: Course, steps: int, old_arms: list[Floats] | None = None) -> Course:
    """Let the bends grow for so many steps of time."""
    for step in range(steps):
        course = _moved(course)
        if step % 8 == 7 or step == steps - 1:
            course = _cut_necks(course, old_arms)
        course = course.respaced()
    return course


def _moved(course: Course) -> Course:
    line, width = course.line_km, course.width_km
    steps = line[1:] - line[:-1]
    ahead = np.vstack([steps[:1], steps[1:] + steps[:-1], steps[-1:]])
    ahead /= np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-9)[:, None]
    cross = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    along = (steps[:-1] * steps[1:]).sum(axis=1)
    turn = np.zeros(len(line))
    turn[1:-1] = np.arctan2(cross, along)
    bend = np.tanh(1.4 * turn / _SPACING_WIDTHS) / 1.4
    fade = np.exp(-_SPACING_WIDTHS / _MEMORY_WIDTHS)
    from_above = lfilter([1.0 - fade], [1.0, -fade], bend)
    push = gaussian_filter1d(-bend + 2.5 * from_above, 0.8)
    points = np.arange(len(line))
    near_end = np.minimum(np.minimum(points, points[::-1]) / 9.0, 1.0)
    move_km = 0.16 * width * push * course.freedom * near_end
    normal = np.column_stack([ahead[:, 1], -ahead[:, 0]])
    return Course(line + move_km[:, None] * normal, width, course.freedom)


def _cut_necks(course: Course, old_arms: list[Floats] | None) -> Course:
    line, width = course.line_km, course.width_km
    pairs = cKDTree(line).query_pairs(_NECK_WIDTHS * float(width.max()), output_type="ndarray")
    if not len(pairs):
        return course
    gap_km = np.hypot(*(line[pairs[:, 0]] - line[pairs[:, 1]]).T)
    touch = (gap_km < _NECK_WIDTHS * width[pairs[:, 0]]) & (pairs[:, 1] - pairs[:, 0] > 7)
    kept = np.ones(len(line), dtype=bool)
    order = np.lexsort((pairs[touch, 1], pairs[touch, 0]))
    for start, stop in pairs[touch][order].tolist():
        if kept[start] and kept[stop]:
            kept[start + 1 : stop] = False
            if old_arms is not None:
                old_arms.append(line[start + 1 : stop])
    return Course(line[kept], width[kept], course.freedom[kept])
