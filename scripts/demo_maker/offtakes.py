"""Where is water taken, by what, and how much can it take?

A few large gravity channels on the large rivers, many small pumps wherever there is water.
"""

from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString

from .frame import Floats, random_stream
from .ground import Ground
from .hydrology import Hydrology
from .neighbours import nearest_spots
from .places import Town
from .reaches import Reach

PUMPS = 186
_CHANNELS_M3S = (3.9, 3.1, 2.6, 2.2, 1.9, 1.7, 1.5, 1.3, 1.1)
_SOUTHERN_CHANNELS_M3S = (0.7, 0.5)
_APART_M = 350.0
_MOST_SHARE_OF_MEAN_FLOW = 0.045


@dataclass
class Offtake:
    """One intake: its place, kind, size and the flow at which it must stop (0: none)."""

    reach: int
    chainage_m: float
    at_km: Floats
    kind: str
    capacity_m3s: float
    cease_flow_m3s: float = 0.0


def make_offtakes(
    reaches: list[Reach], hydrology: Hydrology, ground: Ground, towns: list[Town]
) -> list[Offtake]:
    """In order of river, reach and chainage."""
    rng = random_stream(30)
    chances = _chances(reaches, hydrology, ground, towns)
    main = [p for p, r in enumerate(reaches) if r.river == 0 and chances[p] > 0]
    fork_gauge = hydrology.gauge_reach["G-LANTERN"]
    plain = [p for p in main if reaches[p].number >= reaches[fork_gauge].number - 14]
    south = [
        p
        for p, r in enumerate(reaches)
        if r.river == reaches[hydrology.gauge_reach["G-SOUTH"]].river
        and hydrology.mean_flow_m3s(p) > 7.0
    ]
    sites: list[Offtake] = []
    for members, sizes in ((plain, _CHANNELS_M3S), (south, _SOUTHERN_CHANNELS_M3S)):
        for position, size in zip(
            rng.choice(members, len(sizes), replace=False), sizes, strict=True
        ):
            _add(rng, sites, reaches, int(position), "gravity_channel", size)
    share = chances / chances.sum()
    wanted = len(sites) + PUMPS
    while len(sites) < wanted:
        position = int(rng.choice(len(reaches), p=share))
        kind = str(rng.choice(_PUMP_KINDS, p=(0.28, 0.47, 0.25)))
        _add(rng, sites, reaches, position, kind, _pump_size(rng, hydrology, position))
    sites.sort(key=lambda site: (reaches[site.reach].river, site.reach, site.chainage_m))
    _set_cease_flows(rng, sites, hydrology)
    return sites


_PUMP_KINDS = ("rail_suction", "fixed_suction", "floating_suction")


def _chances(
    reaches: list[Reach], hydrology: Hydrology, ground: Ground, towns: list[Town]
) -> Floats:
    middle = np.array([reach.middle_km for reach in reaches])
    flow = np.array([hydrology.mean_flow_m3s(p) for p in range(len(reaches))])
    hills = ground.hilliness_at(*middle.T)
    gap_km, _ = nearest_spots(np.array([town.at_km for town in towns]), middle)
    length = np.array([reach.length_m for reach in reaches])
    chance = (
        length * flow**0.75 * np.clip(1.0 - 2.2 * hills, 0.0, 1.0) * (0.5 + np.exp(-gap_km / 9.0))
    )
    chance *= np.where([reach.river == 1 for reach in reaches], 1.6, 1.0)
    chance *= np.where([gauge == "G-CREEK" for gauge in hydrology.gauge_of], 2.4, 1.0)
    return np.where(flow > 0.22, chance, 0.0)


def _pump_size(rng: np.random.Generator, hydrology: Hydrology, position: int) -> float:
    size = float(np.clip(rng.lognormal(np.log(0.07), 0.95), 0.008, 1.2))
    size = min(
        size, _MOST_SHARE_OF_MEAN_FLOW * rng.uniform(0.35, 1.0) * hydrology.mean_flow_m3s(position)
    )
    return max(float(f"{size:.2g}"), 0.006)


def _add(
    rng: np.random.Generator,
    sites: list[Offtake],
    reaches: list[Reach],
    position: int,
    kind: str,
    capacity_m3s: float,
) -> None:
    reach = reaches[position]
    chainage_m = float(rng.uniform(0.04, 0.96)) * reach.length_m
    if any(s.reach == position and abs(s.chainage_m - chainage_m) < _APART_M for s in sites):
        return
    shape = LineString(reach.line_km)
    along_km = chainage_m / reach.length_m * shape.length
    here, ahead = (np.array(shape.interpolate(km).coords[0]) for km in (along_km, along_km + 0.05))
    step = ahead - here
    bank = np.array([-step[1], step[0]]) / max(float(np.hypot(*step)), 1e-9)
    aside_km = float(rng.choice((-1.0, 1.0)) * rng.uniform(0.01, 0.045))
    sites.append(Offtake(position, chainage_m, here + aside_km * bank, kind, capacity_m3s))


def _set_cease_flows(rng: np.random.Generator, sites: list[Offtake], hydrology: Hydrology) -> None:
    """Where all pumps of a reach could take more than its low flow, they must stop in time."""
    for site in sites:
        together = sum(s.capacity_m3s for s in sites if s.reach == site.reach)
        flow = hydrology.flow_m3s(site.reach)
        if together > 0.7 * float(np.quantile(flow, 0.002)):
            site.cease_flow_m3s = float(f"{1.35 * together:.2g}")
        elif rng.random() < 0.12:
            site.cease_flow_m3s = float(f"{0.12 * hydrology.mean_flow_m3s(site.reach):.2g}")
