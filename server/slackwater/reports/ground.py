"""What is on a map? Rivers, towns and offtakes, and how they come to lie on a sheet of paper."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod

from slackwater.reports.signs import Sign

Numbers = NDArray[np.float64]
WGS84 = Geod(ellps="WGS84")


@dataclass(frozen=True, eq=False)
class River:
    """One line of a river.

    Attributes
    ----------
    points : (n, 2) longitude and latitude in degrees, along the flow.
    flow_m3s : mean flow; 0 where not known.
    """

    name: str
    points: Numbers
    flow_m3s: float


@dataclass(frozen=True)
class Town:
    """A town or village; size 1 small to 4 large."""

    name: str
    size: int
    lon: float
    lat: float


@dataclass(frozen=True)
class Dot:
    """An offtake on the map.

    Attributes
    ----------
    rank : the lower, the sooner its code is written.
    facts : terms and values to be shown where it is opened.
    """

    code: str
    sign: Sign
    rank: int
    lon: float
    lat: float
    facts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, eq=False)
class Ground:
    """All that a map shows."""

    rivers: tuple[River, ...]
    towns: tuple[Town, ...]
    dots: tuple[Dot, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """West, south, east, north in degrees, around rivers and offtakes."""
        places = [river.points for river in self.rivers if len(river.points)]
        places += [np.array([[dot.lon, dot.lat] for dot in self.dots]).reshape(-1, 2)]
        both = np.concatenate(places)
        if not len(both):
            return (0.0, 0.0, 0.0, 0.0)
        (west, south), (east, north) = both.min(axis=0).tolist(), both.max(axis=0).tolist()
        return (west, south, east, north)

    @property
    def largest_flow_m3s(self) -> float:
        """The largest mean flow, 0 where there is none."""
        return max((river.flow_m3s for river in self.rivers), default=0.0)


@dataclass(frozen=True)
class Sheet:
    """Degrees on paper: north is up, and one scale holds at the middle of the map.

    Attributes
    ----------
    width_mm, height_mm : of the whole drawing.
    mm_per_degree : of latitude.
    """

    west: float
    north: float
    middle_lat: float
    mm_per_degree: float
    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float

    def place(self, lonlat: Numbers) -> Numbers:
        """(n, 2) millimetres from the upper left corner of (n, 2) longitudes and latitudes."""
        narrow = cos(radians(self.middle_lat))
        x = self.left_mm + (lonlat[:, 0] - self.west) * narrow * self.mm_per_degree
        y = self.top_mm + (self.north - lonlat[:, 1]) * self.mm_per_degree
        return np.column_stack((x, y))

    @property
    def mm_per_km(self) -> float:
        """Scale at the middle of the map."""
        _, _, metres = WGS84.inv(self.west, self.middle_lat, self.west + 0.1, self.middle_lat)
        return 0.1 * cos(radians(self.middle_lat)) * self.mm_per_degree / (metres / 1000)


def sheet_for(
    bounds: tuple[float, float, float, float],
    width_mm: float,
    most_height_mm: float,
    margin_mm: float,
) -> Sheet:
    """Lay a map out as large as it fits; as high as it needs, the full width."""
    west, south, east, north = bounds
    middle = (south + north) / 2
    wide = max(east - west, 1e-3) * cos(radians(middle))
    high = max(north - south, 1e-3)
    scale = min((width_mm - 2 * margin_mm) / wide, (most_height_mm - 2 * margin_mm) / high)
    return Sheet(
        west=west,
        north=north,
        middle_lat=middle,
        mm_per_degree=scale,
        left_mm=(width_mm - wide * scale) / 2,
        top_mm=margin_mm,
        width_mm=width_mm,
        height_mm=high * scale + 2 * margin_mm,
    )
