"""Where might water be taken, and how much? Made-up offtakes along the larger reaches."""

from __future__ import annotations

from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd

from .frame import GAUGE_AREA_KM2, SYNTHETIC, random_stream
from .packages import daily_flow

KIND_SHARES = {
    "rail_suction": 0.2,
    "fixed_suction": 0.4,
    "floating_suction": 0.1,
    "gravity_channel": 0.3,
}
IRRIGATION = (0, 0, 0, 0.2, 0.6, 0.9, 1, 0.9, 0.6, 0.2, 0, 0)
"""Share of capacity used in each month, before a site's own habits."""

LEAST_CAPACITY_M3S = 0.001
FROM_BANK = 0.2
"""An offtake stands up to this share of the reach's width aside from its line."""


def offtakes_table(
    reaches: gpd.GeoDataFrame, *, count: int, least_area_km2: float, prefix: str
) -> pd.DataFrame:
    """Offtakes on reaches that drain at least an area, more of them on larger ones.

    Parameters
    ----------
    reaches : columns ``reach_id``, ``area_km2``, ``width_m``; lines in metres.

    Returns
    -------
    (count,) rows; x, y in the system of ``reaches``; two in three say on which reach they stand.
    """
    rng = random_stream(2)
    large = reaches[reaches["area_km2"] >= least_area_km2]
    weight = np.sqrt(large["area_km2"].to_numpy())
    drawn = rng.choice(len(large), count, p=weight / weight.sum())
    median_m3s = float(daily_flow().median())
    rows = []
    for number, position in enumerate(np.sort(drawn).tolist(), 1):
        reach = large.iloc[position]
        flow_m3s = median_m3s * reach["area_km2"] / GAUGE_AREA_KM2
        rows.append(
            {"offtake_id": f"{prefix}-{number:03d}"}
            | _place(reach, rng)
            | _site(flow_m3s, rng)
            | {"district": "lower" if reach["area_km2"] > 1000 else "upper"}
        )
    return pd.DataFrame(rows).assign(basis="assumed", source=SYNTHETIC)


def _place(reach: Any, rng: np.random.Generator) -> dict[str, Any]:
    """A point beside the reach's line."""
    line = reach["geometry"]
    at = line.interpolate(rng.uniform(0.02, 0.98), normalized=True)
    aside_m = rng.uniform(-FROM_BANK, FROM_BANK, 2) * reach["width_m"]
    names_reach = rng.random() < 2 / 3
    return {
        "x": round(at.x + aside_m[0], 2),
        "y": round(at.y + aside_m[1], 2),
        "reach_id": reach["reach_id"] if names_reach else "",
    }


def _site(flow_m3s: float, rng: np.random.Generator) -> dict[str, Any]:
    """Kind, size and habits; channels take more of the river than pumps."""
    kind = str(rng.choice(list(KIND_SHARES), p=list(KIND_SHARES.values())))
    is_channel = kind == "gravity_channel"
    share = rng.lognormal(np.log(0.02 if is_channel else 0.008), 0.6)
    capacity_m3s = max(LEAST_CAPACITY_M3S, round(flow_m3s * min(share, 0.3), 5))
    habit, tells_use = rng.uniform(0.6, 1.0), rng.random() < 0.8
    use = {
        f"use_{month:02d}": round(habit * usual, 2) if tells_use else None
        for month, usual in enumerate(IRRIGATION, 1)
    }
    is_built = rng.random() < 0.04 and not is_channel
    pump = {
        "filter_cleaning_hours_month": round(rng.uniform(1, 8), 1),
        "pumping_months": 6,
        "pump_head_m": round(rng.uniform(8, 45), 1),
        "pump_efficiency": round(rng.uniform(0.55, 0.75), 2),
    }
    return {
        "kind": kind,
        "capacity_m3s": capacity_m3s,
        **use,
        "night_use_share": None if rng.random() < 0.4 else round(rng.uniform(0.2, 0.6), 2),
        "position": round(rng.uniform(0.7, 1.3), 2),
        "opening_mm": float(rng.choice([6, 10, 25])),
        "fitted": "drum" if is_built else "none",
        "status": "built" if is_built else "candidate",
        "power": "yes" if rng.random() < (0.2 if is_channel else 0.8) else "no",
        "access": str(rng.choice(["good", "fair", "poor"], p=[0.4, 0.4, 0.2])),
        "willing": str(rng.choice(["yes", "unknown", "no"], p=[0.4, 0.5, 0.1])),
        **({} if is_channel else pump),
    }
