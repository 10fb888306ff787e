"""Rivers drawn from a seed, for laws that hold on every river.

Each has confluences, a channel that divides, a weir, two gauges of which one may run dry, guilds
with different numbers of stages, and offtakes of which one stands at mid-length.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from tests.river_builder import YEAR_DAYS, river_of

Numbers = NDArray[np.float64]
Rows = dict[str, Any]


def random_rows(seed: int, *, constant: bool = False, dry: bool = True) -> Rows:
    """Draw the arguments of `raw_river`.

    Parameters
    ----------
    constant : the same flow, draw and clock on every day.
    dry : whether the second gauge has spells without flow.
    """
    rng = np.random.default_rng(seed)
    n = int(rng.integers(4, 9))
    flows = _flows(rng, constant=constant, dry=dry)
    reaches = [
        {
            "reach_id": f"r{i}",
            "place": i,
            "to_reach": f"r{rng.integers(i + 1, n)}" if i < n - 1 and rng.random() < 0.9 else "",
            "gauge_id": str(rng.choice(["main", "creek"], p=[0.7, 0.3])),
            "length_m": float(rng.uniform(3000, 40000)),
            "flow_scale": float(rng.uniform(0.4, 1.5)),
            "velocity_coef": float(rng.uniform(0.08, 0.3)),
            "velocity_exp": 0.34,
            "nursery": float(rng.choice([0.0, 0.5, 1.0, 1.3])),
        }
        for i in range(n)
    ]
    splits = [
        {"from_reach": f"r{i}", "to_reach": f"r{to}", "share": share}
        for i in range(n - 2)
        if reaches[i]["to_reach"] and rng.random() < 0.4
        for share in [float(rng.uniform(0.2, 0.8))]
        for to, share in _two_arms(reaches[i], i, n, share, rng)
    ]
    guilds = [_guild(rng, g, constant=constant) for g in range(2)]
    return {
        "reaches": reaches,
        "splits": splits,
        "weirs": [{"reach_id": f"r{rng.integers(n)}", "survival": float(rng.uniform(0.5, 0.95))}],
        "offtakes": [
            _offtake(rng, i, reaches, constant=constant) for i in range(int(rng.integers(3, 6)))
        ],
        "guilds": guilds,
        "production": [
            {
                "reach_id": f"r{i}",
                "guild_id": guild["guild_id"],
                "production": float(rng.uniform(100, 1000)),
            }
            for guild in guilds
            for i in range(n)
            if i == 0 or rng.random() < 0.4
        ],
        "efficacy": [
            {
                "option_id": "s0",
                "guild_id": guild["guild_id"],
                "drifter": float(rng.uniform(0.3, 0.9)),
            }
            for guild in guilds
        ],
        "flows": flows,
    }


def random_river(seed: int, **how: bool) -> Catchment:
    """Draw a catchment; see `random_rows`."""
    return river_of(**random_rows(seed, **how))


def random_screens(seed: int, shape: tuple[int, int]) -> Numbers:
    """(guilds, offtakes) shares kept out, some 0."""
    rng = np.random.default_rng([seed, 1])
    return rng.uniform(0, 0.95, shape) * (rng.random(shape) < 0.7)


def _flows(rng: np.random.Generator, *, constant: bool, dry: bool) -> Mapping[str, Numbers]:
    if constant:
        return {gauge: np.full(YEAR_DAYS, rng.uniform(4, 20)) for gauge in ("main", "creek")}
    days = np.arange(YEAR_DAYS)
    flows = {}
    for gauge, mean in (("main", 12.0), ("creek", 4.0)):
        wander = np.cumsum(rng.normal(0, 0.12, YEAR_DAYS))
        flows[gauge] = mean * np.exp(0.5 * np.sin(days / 58.0 + rng.uniform(0, 6)) + wander
                                     - wander.mean())  # fmt: skip
    if dry:
        for start in rng.integers(90, 150, 3):
            flows["creek"][start : start + int(rng.integers(1, 12))] = 0.0
    return flows


def _two_arms(
    reach: Mapping[str, Any], i: int, n: int, share: float, rng: np.random.Generator
) -> list[tuple[int, float]]:
    """The reach's own next reach and another one below it."""
    own = int(str(reach["to_reach"])[1:])
    others = [j for j in range(i + 1, n) if j != own]
    return [(own, share), (int(rng.choice(others)), 1 - share)]


def _guild(rng: np.random.Generator, g: int, *, constant: bool) -> dict[str, Any]:
    cued = not constant and rng.random() < 0.5
    return {
        "guild_id": f"g{g}",
        "window_start": "09-20",
        "window_full": "10-05",
        "window_easing": "10-25",
        "window_end": "11-10",
        "full_season_days": float(rng.uniform(20, 60)),
        "flow_trigger": 1.15 if cued else 0.0,
        "trigger_days": 2,
        "flow_floor": 0.1,
        "drift_days": float(rng.uniform(1, 8)),
        "drift_stages": int(rng.integers(1, 6)),
        "mortality_per_day": float(rng.choice([0.0, 0.05, 0.3])),
        "drift_speed_ratio": float(rng.uniform(0.7, 1.0)),
        "encounter": float(rng.uniform(0.5, 1.5)),
        "night_drift_share": None if constant else float(rng.uniform(0.4, 0.9)),
        "outlet_value": float(rng.choice([0.0, 0.5, 1.0])),
    }


def _offtake(
    rng: np.random.Generator, i: int, reaches: list[dict[str, Any]], *, constant: bool
) -> dict[str, Any]:
    reach = reaches[int(rng.integers(len(reaches)))]
    at = 0.5 if i == 0 else float(rng.uniform(0, 1))
    use = {f"use_{m:02d}": 1.0 if constant else float(rng.uniform(0, 1)) for m in range(1, 13)}
    return {
        "offtake_id": f"o{i}",
        "reach_id": reach["reach_id"],
        "chainage_m": at * reach["length_m"],
        "capacity_m3s": float(rng.uniform(0.2, 3.0)),
        "position": float(rng.uniform(0.6, 1.4)),
        "night_use_share": None if constant else float(rng.uniform(0.1, 0.7)),
        **use,
    }
