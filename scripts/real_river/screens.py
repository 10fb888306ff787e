"""Which screens can be had in the trial, and what would they cost? All of it assumed."""

from __future__ import annotations

from typing import Any

import pandas as pd

from .frame import PLANNING

OPTIONS: tuple[dict[str, Any], ...] = (
    {
        "option_id": "cylinder", "name": "Brushed cylinder, 1.75 mm slots",
        "approach_velocity_ms": 0.1, "opening_mm": 1.75, "open_share": 0.45, "cleaning": "brush",
        "needs_power": "yes", "min_depth_m": 0.6, "unit_area_m2": 1.2, "unit_price": 16_000,
        "upkeep_share_year": 0.03, "life_years": 20, "head_loss_m": 0.04, "filter_cut_share": 0.5,
        "kinds": "rail_suction;fixed_suction;floating_suction",
    },
    {
        "option_id": "drum", "name": "Drum turned by the water, 2 mm mesh",
        "approach_velocity_ms": 0.1, "opening_mm": 2, "open_share": 0.4, "cleaning": "water_jet",
        "needs_power": "no", "min_depth_m": 0.4, "unit_area_m2": 0.9, "unit_price": 9_000,
        "upkeep_share_year": 0.04, "life_years": 15, "head_loss_m": 0.05, "filter_cut_share": 0.4,
    },
    {
        "option_id": "panel", "name": "Flat panel, 2.3 mm holes, cleaned by hand",
        "approach_velocity_ms": 0.06, "opening_mm": 2.3, "open_share": 0.3, "cleaning": "manual",
        "needs_power": "no", "min_depth_m": 0.3, "unit_area_m2": 2.5, "unit_price": 6_500,
        "upkeep_share_year": 0.05, "life_years": 20, "head_loss_m": 0.03, "filter_cut_share": 0.2,
        "kinds": "gravity_channel;fixed_suction",
    },
)  # fmt: skip

KEPT = {
    "gravel_fry": {"cylinder": 0.9, "drum": 0.85, "panel": 0.75},
    "flood_eggs": {"cylinder": 0.7, "drum": 0.6, "panel": 0.5},
    "summer_small": {"cylinder": 0.5, "drum": 0.4, "panel": 0.3},
}
"""guild_id -> option_id -> share of drifters kept alive."""

PRICES = (
    ("mount", "rail_suction", 8_000),
    ("mount", "fixed_suction", 5_500),
    ("mount", "floating_suction", 6_000),
    ("mount", "gravity_channel", 24_000),
    ("access", "good", 0),
    ("access", "fair", 2_500),
    ("access", "poor", 8_000),
    ("power", "", 15_000),
    ("mobilisation", "", 3_500),
    ("design", "", 0.12),
    ("contingency", "", 0.2),
    ("energy_kwh", "", 0.15),
    ("labour_hour", "", 40),
    ("water_ml", "", 50),
)


def options_table() -> pd.DataFrame:
    """Three screens, named for what they are."""
    return pd.DataFrame(OPTIONS).assign(source=PLANNING)


def efficacy_table() -> pd.DataFrame:
    """What each keeps alive of each guild, at the approach velocity it is sized for."""
    rows = [
        {"option_id": option, "guild_id": guild, "drifter": share, "resident": 0.95,
         "at_approach_ms": 0.1, "source": PLANNING}
        for guild, kept in KEPT.items()
        for option, share in kept.items()
    ]  # fmt: skip
    return pd.DataFrame(rows)


def prices_table() -> pd.DataFrame:
    """Round figures."""
    return pd.DataFrame(PRICES, columns=["item", "kind", "amount"]).assign(source=PLANNING)
