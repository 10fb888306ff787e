"""Invented rivers of any size, straight into memory: a branching tree with offtakes on it."""

from __future__ import annotations

import numpy as np

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.contract import TABLES
from slackwater.catchment.network import Network, arms_of, order_downstream
from slackwater.catchment.records import make_records
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table, empty_table

GAUGES = 4


def table(name: str, n: int, /, **given: object) -> Table:
    """A table of ``n`` rows with defaults where nothing is given."""
    columns = {}
    for field in TABLES[name].fields:
        if field.name in given:
            columns[field.name] = np.asarray(given[field.name])
        elif field.is_number:
            columns[field.name] = np.full(n, np.nan if field.default is None else field.default)
        else:
            columns[field.name] = np.full(n, field.default or "", object)
    return Table(name, np.arange(1, n + 1), columns)


def tree(n: int, rng: np.random.Generator) -> np.ndarray:
    """Position of the reach below each, -1 at the outlet: most reaches have one or two above."""
    below = np.full(n, -1, np.int64)
    open_ends = [0]
    for reach in range(1, n):
        at = int(rng.integers(max(0, len(open_ends) - 40), len(open_ends)))
        below[reach] = open_ends[at]
        if rng.random() < 0.5:
            open_ends[at] = reach
        else:
            open_ends.append(reach)
    return below


def make_river(
    n: int,
    stages: int,
    spawning_days: int,
    offtake_share: float = 0.1,
    below: np.ndarray | None = None,
) -> Catchment:
    """A river of ``n`` reaches, one guild of ``stages`` stages, one season-year from July.

    Its reaches join as ``below`` says, else as a tree at random.
    """
    rng = np.random.default_rng(n)
    if below is None:
        below = tree(n, rng)
    first_arm, arm_reach, arm_share = arms_of(below.tolist(), [])
    reach_ids = np.array([f"r{i:06d}" for i in range(n)], object)
    n_offtakes = int(n * offtake_share)
    offtake_ids = np.array([f"o{i:06d}" for i in range(n_offtakes)], object)
    gauge_ids = np.array([f"g{i}" for i in range(GAUGES)], object)
    dates = np.arange(np.datetime64("2019-07-01"), np.datetime64("2020-07-01"))
    flow = np.exp(rng.normal(3.0, 0.4, (GAUGES, len(dates))))
    gauge = rng.integers(0, GAUGES, n)
    start = np.datetime64("2019-10-01")
    window = [str(start)[5:], str(start)[5:], *[str(start + spawning_days - 1)[5:]] * 2]
    reaches = table("reaches", n, reach_id=reach_ids, gauge_id=gauge_ids[gauge])
    tables = {name: empty_table(name) for name in TABLES} | {
        "reaches": reaches,
        "gauges": table("gauges", GAUGES, gauge_id=gauge_ids),
        "guilds": table(
            "guilds", 1, guild_id=["g"], name=["g"], window_start=[window[0]],
            window_full=[window[1]], window_easing=[window[2]], window_end=[window[3]],
            full_season_days=[float(spawning_days)], drift_days=[6.0],
            drift_stages=[float(stages)], mortality_per_day=[0.1], night_drift_share=[0.8],
            outlet_value=[0.5], adult_per_settler=[0.001],
        ),
        "production": table(
            "production", n, reach_id=reach_ids, guild_id=np.full(n, "g", object),
            production=rng.uniform(1e3, 1e5, n),
        ),
        "offtakes": table(
            "offtakes", n_offtakes, offtake_id=offtake_ids,
            kind=np.full(n_offtakes, "fixed_suction", object),
            capacity_m3s=rng.uniform(0.02, 0.4, n_offtakes),
        ),
    }  # fmt: skip
    records = make_records(
        np.repeat(np.arange(GAUGES), len(dates)), np.tile(dates, GAUGES), flow.ravel(),
        np.full(flow.size, np.nan), used_gauges=np.ones(GAUGES, bool), season_start_month=7,
        max_gap_days=10,
    )  # fmt: skip
    length_m = rng.uniform(1500.0, 6000.0, n)
    reach_index = rng.integers(0, n, n_offtakes)
    return Catchment(
        settings=Settings(name="bench", season_start_month=7),
        tables=tables,
        network=Network(
            first_arm, arm_reach, arm_share, order_downstream(first_arm, arm_reach), np.ones((1, n))
        ),
        records=records,
        length_m=length_m,
        flow_scale=rng.uniform(0.2, 1.5, n),
        velocity_coef=rng.uniform(0.1, 0.3, n),
        reach_index=reach_index,
        chainage_m=rng.uniform(0.0, 1.0, n_offtakes) * length_m[reach_index],
        latitude_deg=np.full(n_offtakes, -36.0),
        use_share=np.full((n_offtakes, 12), 0.6),
        use_assumed=np.zeros(n_offtakes, bool),
        data_version="0" * 12,
    )
