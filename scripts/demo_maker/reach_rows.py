"""What does the agency know of each reach: size, depth, roughness, worth as a nursery?"""

import numpy as np
import pandas as pd

from .frame import random_stream
from .ground import Ground
from .hydrology import Hydrology
from .reaches import Reach


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
                "flow_scale": None
                if hydrology.scaled_by_area[position]
                else hydrology.flow_scale[position],
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
