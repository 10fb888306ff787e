"""Where does the second arm of the river run?"""

import numpy as np
from shapely import get_coordinates, line_interpolate_point
from shapely.geometry import Point

from .frame import Floats, random_stream
from .laying import TOUCH_KM
from .meander import Course, smoothed, wander
from .river import River

_FROM_MOUTH_KM = (112.0, 30.0)


def make_anabranch(main: River, old_arms: list[Floats]) -> River:
    """A second arm across the plain, from one point of the river to another far below."""
    shape = main.shape
    upper_km, lower_km = (shape.length - km for km in _FROM_MOUTH_KM)
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
