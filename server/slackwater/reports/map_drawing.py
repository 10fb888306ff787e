"""How is a map drawn on paper? Rivers as wide as they flow, signs, names where they find room."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log10, sqrt

import numpy as np
import shapely

from slackwater.reports.figures import figures
from slackwater.reports.ground import Ground, Numbers, Sheet, sheet_for
from slackwater.reports.names_placed import Box, Placed, Wanted, place_names, square
from slackwater.reports.side_by_side import side_by_side
from slackwater.reports.signs import INSIDE, LegendEntry, Sign, legend_of

LEAST_LINE_MM, MOST_LINE_MM = 0.14, 1.3
FINEST_MM = 0.08
"""Points of a line closer than this to its chord are left out; ink spreads more."""
MARGIN_MM = 4.0
RADIUS_MM = {Sign.INSIDE: 1.25, Sign.CLOSE_IN: 1.45, Sign.HAND_IN: 1.3, Sign.OUTSIDE: 0.85,
             Sign.CLOSE_OUT: 1.25, Sign.HAND_OUT: 1.2, Sign.NOT_IN_ROUND: 1.0}  # fmt: skip
CODE_MM = 2.45
TOWN_MM = (2.5, 2.7, 3.0, 3.4)
"""Letter sizes by size of town; 2.5 mm is 7 points."""
LARGE_TOWN = 3
BAR_SHARE = 0.28
"""Most of the map's width that the scale bar takes."""


@dataclass(frozen=True)
class DrawnRiver:
    """A line as an SVG path in millimetres, with its width."""

    path: str
    width_mm: float


@dataclass(frozen=True)
class DrawnSign:
    """A sign with its middle and radius in millimetres."""

    sign: Sign
    code: str
    x_mm: float
    y_mm: float
    radius_mm: float


@dataclass(frozen=True)
class FlowSample:
    """A flow in m3/s, as people read it, and how wide it is drawn."""

    words: str
    width_mm: float


@dataclass(frozen=True)
class ScaleBar:
    """A length on the ground and on paper."""

    km: float
    mm: float

    @property
    def words(self) -> str:
        """Give the length on the ground."""
        return f"{self.km:g} km" if self.km >= 1 else f"{1000 * self.km:g} m"


@dataclass(frozen=True)
class MapDrawing:
    """A whole map, ready for its template."""

    width_mm: float
    height_mm: float
    rivers: tuple[DrawnRiver, ...]
    towns: tuple[tuple[float, float], ...]
    signs: tuple[DrawnSign, ...]
    names: tuple[Placed, ...]
    legend: tuple[LegendEntry, ...]
    flows: tuple[FlowSample, ...]
    scale_bar: ScaleBar
    alternative: str


def draw_map(ground: Ground, width_mm: float, most_height_mm: float) -> MapDrawing:
    """Draw a map as large as it fits."""
    sheet = sheet_for(ground.bounds, width_mm, most_height_mm, MARGIN_MM)
    signs = _signs(ground, sheet)
    towns = sheet.place(np.array([[t.lon, t.lat] for t in ground.towns]).reshape(-1, 2))
    on_sheet = Box(0, 0, sheet.width_mm, sheet.height_mm)
    seen = [on_sheet.holds(square(x, y, 0)) for x, y in towns.tolist()]
    inside = sum(each.sign in INSIDE for each in signs)
    return MapDrawing(
        width_mm=sheet.width_mm,
        height_mm=sheet.height_mm,
        rivers=_rivers(ground, sheet),
        towns=tuple((x, y) for (x, y), here in zip(towns.tolist(), seen, strict=True) if here),
        signs=signs,
        names=_names(ground, signs, towns, on_sheet),
        legend=legend_of(dot.sign for dot in ground.dots),
        flows=_flow_samples(ground.largest_flow_m3s),
        scale_bar=scale_bar(sheet.mm_per_km, BAR_SHARE * sheet.width_mm),
        alternative=f"Map of {len(signs)} offtakes on their rivers; {inside} inside the budget.",
    )


def river_width(flow_m3s: float, largest_m3s: float, least: float, most: float) -> float:
    """Give how wide a river is drawn: channel width goes with the root of flow."""
    if not largest_m3s > 0:
        return least
    return least + (most - least) * sqrt(max(0.0, flow_m3s) / largest_m3s)


def scale_bar(mm_per_km: float, most_mm: float) -> ScaleBar:
    """Give the longest bar of 1, 2 or 5 times a power of ten that fits."""
    most_km = most_mm / mm_per_km
    decade = 10.0 ** floor(log10(most_km))
    km = max(step * decade for step in (1.0, 2.0, 5.0) if step * decade <= most_km)
    return ScaleBar(km, km * mm_per_km)


def _rivers(ground: Ground, sheet: Sheet) -> tuple[DrawnRiver, ...]:
    largest = ground.largest_flow_m3s
    drawn = []
    for river in sorted(ground.rivers, key=lambda each: each.flow_m3s):
        if len(river.points) < 2:
            continue
        line = shapely.LineString(sheet.place(river.points)).simplify(FINEST_MM)
        width = river_width(river.flow_m3s, largest, LEAST_LINE_MM, MOST_LINE_MM)
        drawn.append(DrawnRiver(_path(shapely.get_coordinates(line)), width))
    return tuple(drawn)


def _path(points: Numbers) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points.tolist())


def _signs(ground: Ground, sheet: Sheet) -> tuple[DrawnSign, ...]:
    """Give signs in the order they are drawn: not in this round, outside, inside."""
    own = sheet.place(np.array([[dot.lon, dot.lat] for dot in ground.dots]).reshape(-1, 2))
    places = side_by_side(own, [RADIUS_MM[dot.sign] for dot in ground.dots])
    signs = [
        (dot.sign in INSIDE, dot.sign is not Sign.NOT_IN_ROUND, -dot.rank,
         DrawnSign(dot.sign, dot.code, x, y, RADIUS_MM[dot.sign]))
        for dot, (x, y) in zip(ground.dots, places.tolist(), strict=True)
    ]  # fmt: skip
    return tuple(sign for *_, sign in sorted(signs, key=lambda each: each[:3]))


def _names(
    ground: Ground, signs: tuple[DrawnSign, ...], towns: Numbers, on_sheet: Box
) -> tuple[Placed, ...]:
    """Give large towns first, then codes inside the budget by rank, then the small towns."""
    taken = [square(each.x_mm, each.y_mm, each.radius_mm) for each in signs]
    taken += [square(x, y, 0.6) for x, y in towns.tolist()]
    asked = sorted(zip(ground.towns, towns.tolist(), strict=True), key=lambda each: -each[0].size)
    large = [_town(town.name, town.size, x, y) for town, (x, y) in asked if town.size >= LARGE_TOWN]
    small = [_town(town.name, town.size, x, y) for town, (x, y) in asked if town.size < LARGE_TOWN]
    codes = [
        Wanted(each.code, each.x_mm, each.y_mm, CODE_MM, each.radius_mm + 0.1, "code", True)
        for each in reversed(signs)
        if each.sign in INSIDE
    ]
    return tuple(place_names([*large, *codes, *small], taken, on_sheet))


def _town(name: str, size: int, x: float, y: float) -> Wanted:
    return Wanted(name, x, y, TOWN_MM[min(max(size, 1), 4) - 1], 0.9, "town")


def _flow_samples(largest_m3s: float) -> tuple[FlowSample, ...]:
    """Give three flows a factor apart, as wide as the map draws them."""
    flows = [float(f"{largest_m3s / part:.1g}") for part in (25, 5, 1)] if largest_m3s > 0 else []
    return tuple(
        FlowSample(figures(flow, 1), river_width(flow, largest_m3s, LEAST_LINE_MM, MOST_LINE_MM))
        for flow in flows
    )
