"""Which fish drift in the trial, and where do they start? Three made-up kinds, snowmelt timed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from .frame import SYNTHETIC, Numbers, random_stream

GUILDS: tuple[dict[str, Any], ...] = (
    {
        "guild_id": "gravel_fry", "name": "Fry leaving the gravel with the snowmelt", "weight": 1.5,
        "window_start": "04-01", "window_full": "04-25",
        "window_easing": "06-20", "window_end": "07-15",
        "temp_min": 3, "temp_full": 5, "temp_easing": 15, "temp_max": 17,
        "full_season_days": 55, "drift_days": 3, "drift_stages": 2, "mortality_per_day": 0.06,
        "drift_speed_ratio": 0.7, "encounter": 0.9, "night_drift_share": 0.85, "outlet_value": 0.8,
        "adult_per_settler": 2e-3, "resident_per_ml": 0.2, "adult_per_resident": 0.01,
        "larva_mm": 24, "species": "invented",
    },
    {
        "guild_id": "flood_eggs", "name": "Eggs adrift on the falling flood",
        "window_start": "05-10", "window_full": "06-01",
        "window_easing": "07-15", "window_end": "08-10",
        "temp_min": 9, "temp_full": 11, "flow_trigger": 1.05, "trigger_days": 4, "flow_floor": 0.3,
        "full_season_days": 35, "drift_days": 6, "drift_stages": 3, "mortality_per_day": 0.12,
        "outlet_value": 0.6, "adult_per_settler": 3e-4, "egg_mm": 3, "larva_mm": 5.5,
        "species": "invented",
    },
    {
        "guild_id": "summer_small", "name": "Small fish that spawn all summer",
        "window_start": "06-01", "window_full": "06-25",
        "window_easing": "08-25", "window_end": "09-20",
        "temp_min": 11, "temp_full": 13,
        "full_season_days": 60, "drift_days": 2, "mortality_per_day": 0.2,
        "drift_speed_ratio": 0.8, "encounter": 1.2, "night_drift_share": 0.65, "outlet_value": 0.2,
        "adult_per_settler": 2e-4, "resident_per_ml": 1.5, "adult_per_resident": 0.001,
        "egg_mm": 1.1, "larva_mm": 4.5, "species": "invented",
    },
)  # fmt: skip


def guilds_table() -> pd.DataFrame:
    """Traits in a plausible range for a cold northern river, of no real species."""
    return pd.DataFrame(GUILDS).assign(source=SYNTHETIC)


def production_table(
    reach_ids: list[str], area_km2: Numbers, length_m: Numbers, slope: Numbers
) -> pd.DataFrame:
    """Drifters a full season by kilometre, more in large reaches or, for fry, in small ones."""
    rng = random_stream(1)
    gentle = slope < 0.08
    per_km = {
        "gravel_fry": 9_000.0 * gentle * ((area_km2 > 10) & (area_km2 < 900)),
        "flood_eggs": 120_000.0 * (area_km2 > 300) * area_km2 / (area_km2 + 1500),
        "summer_small": 60_000.0 * gentle * (area_km2 > 60),
    }
    tables = []
    for guild_id, drifters in per_km.items():
        scattered = drifters * length_m / 1000 * rng.lognormal(0.0, 0.5, len(reach_ids))
        table = pd.DataFrame(
            {
                "reach_id": reach_ids,
                "guild_id": guild_id,
                "production": np.round(scattered),
                "basis": "assumed",
                "source": SYNTHETIC,
            }
        )
        tables.append(table[table["production"] > 0])
    return pd.concat(tables, ignore_index=True)
