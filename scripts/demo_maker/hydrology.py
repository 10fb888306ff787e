"""Which gauge speaks for which reach, and with how much of its flow?"""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from .climate import M3S_PER_RUNOFF_KM2, Climate
from .frame import Floats, random_stream
from .ground import Ground
from .reaches import Reach
from .rivers import Network

_DAM_RUNOFF_KM2 = 1480.0


@dataclass(frozen=True)
class Hydrology:
    """By reach: gauge, scale and daily flow; by gauge: its reach and mean flow."""

    gauge_of: list[str]
    flow_scale: Floats
    scaled_by_area: list[bool]
    gauge_reach: dict[str, int]
    gauge_mean_m3s: dict[str, float]
    dam_reach: int
    dry_rivers: tuple[int, int]
    climate: Climate

    def flow_m3s(self, reach_index: int) -> Floats:
        """Daily flow over the climate's days."""
        return np.asarray(self.flow_scale[reach_index] * self.gauge_flow_m3s(self.gauge_of[reach_index]))

    def gauge_flow_m3s(self, gauge: str) -> Floats:
        return np.asarray(self.climate.flow_of_mean[gauge] * self.gauge_mean_m3s[gauge])

    def mean_flow_m3s(self, reach_index: int) -> float:
        return float(self.flow_scale[reach_index] * self.gauge_mean_m3s[self.gauge_of[reach_index]])

    def summer_flow_m3s(self, reach_index: int) -> float:
        """Median of the days with flow from October to March."""
        flow = self.flow_m3s(reach_index)
        summer = np.isin(self.climate.days.month, (10, 11, 12, 1, 2, 3)) & (flow > 0)
        return float(np.median(flow[summer]))


def make_hydrology(network: Network, reaches: list[Reach], climate: Climate) -> Hydrology:
    """The dam and the four gauges, then a gauge for each reach."""
    on_river: dict[int, list[int]] = {}
    for position, reach in enumerate(reaches):
        on_river.setdefault(reach.river, []).append(position)
    main = on_river[0]
    dam = next(p for p in main if reaches[p].runoff_km2 > _DAM_RUNOFF_KM2)
    fork = next(p for p in main if reaches[p].splits)
    south = _largest(
        [r for r, river in enumerate(network.rivers) if river.joins == 0 and river.line_km[-1][1] < 0],
        on_river,
        reaches,
    )
    dry = _dry_rivers(network, on_river, reaches)
    gauge_reach = {
        "G-EAST": main[main.index(dam) - 1],
        "G-LANTERN": fork,
        "G-SOUTH": on_river[south][-2],
        "G-CREEK": on_river[dry[0]][-2],
    }
    mean = {g: reaches[p].runoff_km2 * M3S_PER_RUNOFF_KM2 for g, p in gauge_reach.items()}
    roots = [_root(network, river) for river in range(len(network.rivers))]
    gauge_of, scale, by_area = [], [], []
    for position, reach in enumerate(reaches):
        gauge = _gauge(network, reach, position, roots, dam, dry, south)
        at_gauge = reaches[gauge_reach[gauge]]
        ratio = reach.runoff_km2 / at_gauge.runoff_km2
        area_ratio = reach.area_km2 / at_gauge.area_km2
        steps = abs(position - gauge_reach[gauge])
        near = reach.river == at_gauge.river and steps <= (0 if gauge == "G-LANTERN" else 2)
        by_area.append(near and not reach.is_arm and abs(ratio / area_ratio - 1.0) < 0.12)
        # Below the dam most of the flow is the dam's release, not the land's.
        regulated = gauge == "G-LANTERN" and ratio < 1.0 and reach.river == 0 and not reach.is_arm
        scale.append(area_ratio if by_area[-1] else round(ratio**0.8 if regulated else ratio, 4))
        gauge_of.append(gauge)
    return Hydrology(gauge_of, np.array(scale), by_area, gauge_reach, mean, dam, dry, climate)


def _largest(rivers: list[int], on_river: dict[int, list[int]], reaches: list[Reach]) -> int:
    return max(rivers, key=lambda river: reaches[on_river[river][-1]].runoff_km2)


def _dry_rivers(
    network: Network, on_river: dict[int, list[int]], reaches: list[Reach]
) -> tuple[int, int]:
    """The largest creek of the anabranch, and the long creek elsewhere with least rain."""
    to_arm = [r for r, river in enumerate(network.rivers) if river.joins == 1 and river.leaves < 0]
    first = _largest(to_arm, on_river, reaches)
    others = [
        r
        for r, river in enumerate(network.rivers)
        if river.joins == 0 and river.leaves < 0 and len(on_river[r]) >= 4
    ]
    rain = {r: reaches[on_river[r][-1]].runoff_km2 / reaches[on_river[r][-1]].area_km2 for r in others}
    return first, min(others, key=lambda r: rain[r])


def _root(network: Network, river: int) -> int:
    """The river it belongs to that joins the main one (or its anabranch)."""
    while network.rivers[river].joins > 1:
        river = network.rivers[river].joins
    return river


def _gauge(
    network: Network,
    reach: Reach,
    position: int,
    roots: list[int],
    dam: int,
    dry: tuple[int, int],
    south: int,
) -> str:
    if reach.river in (0, 1):
        return "G-EAST" if reach.river == 0 and position < dam else "G-LANTERN"
    root = roots[reach.river]
    if root in dry:
        return "G-CREEK"
    mouth = network.rivers[root].line_km[-1]
    return "G-SOUTH" if root == south or mouth[0] < -20.0 else "G-EAST"


def reaches_table(
    reaches: list[Reach], hydrology: Hydrology, ids: list[str], names: list[str], ground: Ground
) -> pd.DataFrame:
    """The contract's columns, with some cells left empty as a real agency leaves them."""
    rng = random_stream(11)
    rows = []
    counts: dict[int, int] = {}
    for reach in reaches:
        counts[reach.river] = counts.get(reach.river, 0) + 1
    for position, reach in enumerate(reaches):
        hills = float(ground.hilliness_at(*[np.array([v]) for v in reach.middle_km])[0])
        mean_m3s = hydrology.mean_flow_m3s(position)
        dry = hydrology.gauge_of[position] == "G-CREEK"
        known_length, known_depth = rng.random() < 0.6, rng.random() < 0.85
        width_m = round(3.6 * mean_m3s**0.6 + 4.0, 1) if reach.is_arm else reach.width_m
        manning_n = round(0.029 + 0.016 * hills + (0.006 if dry or reach.river == 1 else 0.0), 3)
        flow_m3s = _median_flowing_m3s(hydrology, position)
        speed_ms = manning_speed_ms(flow_m3s, width_m, reach.slope, manning_n)
        rows.append(
            {
                "reach_id": ids[position],
                "to_reach": ids[reach.to] if reach.to >= 0 else None,
                "name": f"{names[reach.river]}, reach {reach.number + 1} of {counts[reach.river]}",
                "length_m": round(reach.length_m, 1) if known_length else None,
                "gauge_id": hydrology.gauge_of[position],
                "flow_scale": None if hydrology.scaled_by_area[position] else hydrology.flow_scale[position],
                "area_km2": None if reach.is_arm else round(reach.area_km2, 1),
                "velocity_coef": _measured_coef(speed_ms, flow_m3s, rng.random()),
                "velocity_exp": None,
                "width_m": width_m,
                "slope": float(f"{reach.slope:.3g}"),
                "manning_n": manning_n,
                "depth_m": round(min(0.45 + 0.42 * mean_m3s**0.4, 3.2) * rng.uniform(0.8, 1.2), 1)
                if known_depth
                else None,
                "nursery": _nursery(reach, hills, dry),
            }
        )
    return pd.DataFrame(rows)


def manning_speed_ms(flow_m3s: float, width_m: float, slope: float, manning_n: float) -> float:
    """Speed in a wide rectangle (Manning)."""
    depth_m = (flow_m3s * manning_n / (width_m * np.sqrt(slope))) ** 0.6
    return float(flow_m3s / (width_m * depth_m))


def _median_flowing_m3s(hydrology: Hydrology, position: int) -> float:
    flow = hydrology.flow_m3s(position)
    return float(np.median(flow[flow > 0]))


def _measured_coef(speed_ms: float, flow_m3s: float, luck: float) -> float | None:
    """Someone has timed a float where the wide rectangle would be too slow, and here and there."""
    if speed_ms < 0.23:
        return float(f"{(0.23 + 0.07 * luck) / flow_m3s**0.34:.3g}")
    if luck < 0.05:
        return float(f"{speed_ms * (0.9 + 4.0 * luck) / flow_m3s**0.34:.3g}")
    return None


def _nursery(reach: Reach, hills: float, dry: bool) -> float:
    """How much a settler is worth there: most in the anabranch's wetlands, little in the hills."""
    if reach.river == 1:
        return 1.8
    if dry:
        return 0.5
    if reach.river == 0 and hills < 0.05:
        return (1.0, 1.3, 0.7)[reach.number % 3]
    return 0.6 if hills > 0.4 else 0.9
