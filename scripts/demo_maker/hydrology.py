"""Which gauge speaks for which reach, and with how much of its flow?"""

from dataclasses import dataclass

import numpy as np

from .climate import M3S_PER_RUNOFF_KM2, Climate
from .frame import Floats
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
        return np.asarray(
            self.flow_scale[reach_index] * self.gauge_flow_m3s(self.gauge_of[reach_index])
        )

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
        [
            r
            for r, river in enumerate(network.rivers)
            if river.joins == 0 and river.line_km[-1][1] < 0
        ],
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
    rain = {
        r: reaches[on_river[r][-1]].runoff_km2 / reaches[on_river[r][-1]].area_km2 for r in others
    }
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
