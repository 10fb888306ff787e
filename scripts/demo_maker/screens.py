"""Which screens can be had, what do they keep alive, and what does each thing cost?"""

import pandas as pd

from .frame import INVENTED

_OPTIONS = (
    ("cone", "Brushed cone, 2 mm wedge wire", 0.1, 2.0, 0.5, "brush", "yes", 0.8, 3.2, 27000.0,
     21000.0, 38000.0, 0.03, 20, 0.05, 0.55, None),
    ("cylinder", "Cylinder with air burst, 2 mm wedge wire", 0.1, 2.0, 0.42, "air", "yes", 1.1, 4.6,
     34000.0, 26000.0, 52000.0, 0.025, 25, 0.04, 0.5,
     "rail_suction;fixed_suction;gravity_channel"),
    ("drum", "Self-turning drum with water jets, 2.5 mm mesh", 0.1, 2.5, 0.45, "water_jet", "no",
     0.5, 1.9, 12500.0, 9500.0, 19000.0, 0.04, 15, 0.06, 0.45,
     "rail_suction;fixed_suction;floating_suction"),
    ("panel", "Fixed flat panels, 3 mm, cleaned by hand", 0.1, 3.0, 0.4, "none", "no", 0.4, 6.5,
     13000.0, 10000.0, 22000.0, 0.035, 20, 0.02, 0.2, "gravity_channel;fixed_suction"),
)  # fmt: skip
_OPTION_COLUMNS = [
    "option_id",
    "name",
    "approach_velocity_ms",
    "opening_mm",
    "open_share",
    "cleaning",
    "needs_power",
    "min_depth_m",
    "unit_area_m2",
    "unit_price",
    "unit_price_low",
    "unit_price_high",
    "upkeep_share_year",
    "life_years",
    "head_loss_m",
    "filter_cut_share",
    "kinds",
]
# drifter, resident, low, high: eggs of 3 to 4 mm and larvae of 10 mm are held, of 2 mm hardly.
_KEPT = {
    "goldwick": {"cone": (0.74, 0.98, 0.55, 0.84), "cylinder": (0.7, 0.98, 0.5, 0.82),
                 "drum": (0.6, 0.96, 0.4, 0.75), "panel": (0.44, 0.92, 0.25, 0.6)},
    "snuffcod": {"cone": (0.82, 0.99, 0.65, 0.84), "cylinder": (0.8, 0.99, 0.6, 0.84),
                 "drum": (0.7, 0.98, 0.5, 0.82), "panel": (0.5, 0.95, 0.3, 0.66)},
    "mothling": {"cone": (0.34, 0.97, 0.15, 0.5), "cylinder": (0.38, 0.97, 0.2, 0.55),
                 "drum": (0.26, 0.94, 0.1, 0.42), "panel": (0.12, 0.86, 0.0, 0.3)},
    "emberlet": {"cone": (0.56, 0.98, 0.35, 0.7), "cylinder": (0.52, 0.98, 0.3, 0.68),
                 "drum": (0.42, 0.95, 0.25, 0.6), "panel": (0.26, 0.9, 0.1, 0.42)},
    "lampbream": {"cone": (0.5, 0.99, 0.3, 0.65), "cylinder": (0.48, 0.99, 0.3, 0.62),
                  "drum": (0.38, 0.97, 0.2, 0.55), "panel": (0.22, 0.93, 0.1, 0.4)},
}  # fmt: skip
_PRICES = (
    ("mount", "rail_suction", 9500.0, 7000.0, 15000.0),
    ("mount", "fixed_suction", 6500.0, 4500.0, 10500.0),
    ("mount", "floating_suction", 7200.0, 5000.0, 11500.0),
    ("mount", "gravity_channel", 38000.0, 22000.0, 80000.0),
    ("access", "good", 0.0, 0.0, 0.0),
    ("access", "fair", 3200.0, 2000.0, 5500.0),
    ("access", "poor", 9800.0, 6000.0, 18000.0),
    ("power", None, 18500.0, 9000.0, 45000.0),
    ("mobilisation", None, 4200.0, 3000.0, 7000.0),
    ("design", None, 0.12, 0.08, 0.18),
    ("contingency", None, 0.2, 0.1, 0.35),
    ("energy_kwh", None, 0.28, 0.2, 0.4),
    ("labour_hour", None, 46.0, 38.0, 60.0),
    ("water_ml", None, 110.0, 60.0, 260.0),
)


def options_table() -> pd.DataFrame:
    """Four screens, named for what they are."""
    table = pd.DataFrame(_OPTIONS, columns=_OPTION_COLUMNS)
    table["source"] = f"{INVENTED}; sizes and prices are planning assumptions"
    return table


def efficacy_table() -> pd.DataFrame:
    """What each screen keeps alive of each kind of fish, tested at 0.1 m/s."""
    return pd.DataFrame(
        [
            {
                "option_id": option,
                "guild_id": guild,
                "drifter": drifter,
                "resident": resident,
                "low": low,
                "high": high,
                "at_approach_ms": 0.1,
                "source": f"{INVENTED}; near the published range for fish of this size",
            }
            for guild, kept in _KEPT.items()
            for option, (drifter, resident, low, high) in kept.items()
        ]
    )


def prices_table() -> pd.DataFrame:
    """In the invented currency CDL."""
    table = pd.DataFrame(_PRICES, columns=["item", "kind", "amount", "low", "high"])
    table["source"] = f"{INVENTED}; planning assumption"
    return table
