"""Which fish drift, when and where do they spawn, and what passes a weir?

Five made-up kinds whose traits lie near published ones of five groups: drifting eggs after a
rise; guarded nests and larvae that drift by night; small fish everywhere; wetland fish; and a
fish that pumps take after it has settled.
"""

import numpy as np
import pandas as pd

from .frame import INVENTED, random_stream
from .ground import Ground
from .hydrology import Hydrology
from .reaches import Reach

_COLUMNS = [
    "guild_id",
    "name",
    "weight",
    "window_start",
    "window_full",
    "window_easing",
    "window_end",
    "temp_min",
    "temp_full",
    "temp_easing",
    "temp_max",
    "flow_trigger",
    "trigger_days",
    "flow_floor",
    "full_season_days",
    "drift_days",
    "drift_stages",
    "mortality_per_day",
    "drift_speed_ratio",
    "encounter",
    "night_drift_share",
    "outlet_value",
    "adult_per_settler",
    "resident_per_ml",
    "adult_per_resident",
    "egg_mm",
    "larva_mm",
    "species",
    "source",
]
_N = None
_GUILDS = (
    ("goldwick", "Goldwick: drifting eggs after a rise", _N, "10-01", "10-20", "01-31", "02-25",
     16.0, 18.0, _N, _N, 1.18, 4, 0.05, 28, 8.0, 3, 0.11, 0.95, 1.0, 0.56, 0.35, 6.5e-4, _N, _N,
     3.6, 5.2, "goldwick (invented)",
     "eggs from 17 degC in spring and summer are published for like fish"),
    ("snuffcod", "Snuffer cod: guarded nests, larvae drift by night", 1.4, "10-05", "10-28",
     "12-10", "01-10", 14.5, 16.5, 23.0, 26.0, _N, _N, _N, 38, 5.0, 2, 0.09, 0.65, 1.15, 0.86, 0.1,
     1.4e-3, 0.05, 0.04, _N, 10.5, "snuffer cod (invented)",
     "a night share of .86 is published for the drift of a river"),
    ("mothling", "Mothling: small, spawns for months", _N, "09-10", "10-15", "02-20", "04-05", 14.0,
     17.0, 27.0, 30.0, _N, _N, _N, 95, 2.2, 1, 0.24, 0.7, 1.3, 0.68, 0.0, 2.2e-4, 2.4, 0.0005, 1.0,
     2.2, "mothling (invented)", "hatching at about 2 mm is published for a like fish"),
    ("emberlet", "Emberlet: wetland fish carried between wetlands", 1.2, "10-15", "11-15", "01-15",
     "02-20", 18.0, 20.5, _N, _N, _N, _N, _N, 45, 4.0, 2, 0.14, 0.85, 0.9, 0.6, 0.5, 6.0e-4, _N,
     _N, 1.4, 3.8, "emberlet (invented)", "planning assumptions"),
    ("lampbream", "Lamp bream: grown fish drawn in as well", 0.8, "11-01", "11-25", "02-10",
     "03-15", 19.0, 21.0, 28.0, 31.0, _N, _N, _N, 42, 3.0, 1, 0.2, 0.9, 1.0, _N, 0.3, 1.6e-4, 4.5,
     0.002, 0.8, 4.2, "lamp bream (invented)", "planning assumptions"),
)  # fmt: skip


def guilds_table() -> pd.DataFrame:
    """The five kinds of fish."""
    table = pd.DataFrame(_GUILDS, columns=_COLUMNS)
    table["source"] = [f"{INVENTED}; {note}" for note in table["source"]]
    return table


def production_table(
    reaches: list[Reach], hydrology: Hydrology, ids: list[str], ground: Ground
) -> pd.DataFrame:
    """Drifters a full season brings, by reach and kind, per kilometre of its habitat."""
    rng = random_stream(12)
    rows = []
    for position, reach in enumerate(reaches):
        hills = float(ground.hilliness_at(*[np.array([v]) for v in reach.middle_km])[0])
        flow_m3s, km = hydrology.mean_flow_m3s(position), reach.length_m / 1000.0
        dry = hydrology.gauge_of[position] == "G-CREEK"
        for guild, per_km in _per_km(reach, flow_m3s, hills, dry).items():
            drifters = per_km * km * rng.lognormal(0.0, 0.55)
            if drifters < 15000.0 and rng.random() < 0.7:
                continue
            rows.append(
                {
                    "reach_id": ids[position],
                    "guild_id": guild,
                    "production": float(f"{drifters:.3g}"),
                    "nursery": _own_nursery(reach, guild, rng),
                    "basis": ("assumed", "estimated", "estimated", "measured")[
                        int(rng.integers(4))
                    ],
                    "source": f"{INVENTED}; drifters per kilometre of like habitat",
                }
            )
    return pd.DataFrame(rows)


def _per_km(reach: Reach, flow_m3s: float, hills: float, dry: bool) -> dict[str, float]:
    plain = float(np.clip(1.0 - 1.6 * hills, 0.0, 1.0))
    large = flow_m3s / (flow_m3s + 6.0)
    arm = reach.river == 1
    return {
        "goldwick": 260_000.0 * plain * large**1.5 * (0.3 if arm else 1.0),
        "snuffcod": 26_000.0 * (0.25 + plain) * large * (0.6 if arm else 1.0),
        "mothling": 190_000.0
        * (0.2 + plain)
        * (flow_m3s / (flow_m3s + 0.6))
        * (1.6 if dry else 0.7),
        "emberlet": 90_000.0 * plain * (3.5 if arm else 0.5 * large) * (1.0 + 1.2 * dry),
        "lampbream": 150_000.0 * plain * large,
    }


def _own_nursery(reach: Reach, guild: str, rng: np.random.Generator) -> float | None:
    """Wetland fish thrive in the anabranch alone; elsewhere mostly the reach's value holds."""
    if guild == "emberlet":
        return 3.2 if reach.river == 1 else 0.3
    if guild == "goldwick" and reach.river == 0 and rng.random() < 0.3:
        return round(float(rng.uniform(0.4, 2.2)), 1)
    if guild == "snuffcod" and rng.random() < 0.15:
        return round(float(rng.uniform(0.5, 1.8)), 1)
    return None


_WEIRS = {
    "Kindlewall Dam": {"": 0.25},
    "Cinder Weir": {"goldwick": 0.55, "snuffcod": 0.7, "mothling": 0.85, "emberlet": 0.8,
                    "lampbream": 0.75},
    "Lanternhythe Weir": {"goldwick": 0.6, "": 0.85},
    "Tallowmere Weir": {"": 0.7},
    "Moth Regulator": {"goldwick": 0.75, "emberlet": 0.9},
    "Snuffer Lock": {"goldwick": 0.72, "snuffcod": 0.8, "lampbream": 0.85, "mothling": 0.9,
                     "emberlet": 0.9},
}  # fmt: skip


def weirs_table(reaches: list[Reach], hydrology: Hydrology, ids: list[str]) -> pd.DataFrame:
    """The dam, four weirs and the anabranch's regulator, each at the lower end of a reach."""
    main = [p for p, reach in enumerate(reaches) if reach.river == 0]
    arm = [p for p, reach in enumerate(reaches) if reach.river == 1]
    south = hydrology.gauge_reach["G-SOUTH"]
    fork = hydrology.gauge_reach["G-LANTERN"]
    places = dict(
        zip(
            _WEIRS,
            (hydrology.dam_reach, main[22], fork - 2, south - 3, arm[2], main[-4]),
            strict=True,
        )
    )
    return pd.DataFrame(
        [
            {
                "reach_id": ids[places[name]],
                "name": name,
                "guild_id": guild or None,
                "survival": survival,
                "source": f"{INVENTED}; planning assumption",
            }
            for name, survivals in _WEIRS.items()
            for guild, survival in survivals.items()
        ]
    )
