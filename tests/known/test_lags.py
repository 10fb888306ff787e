"""How many days lie between a reach and the outlet: lags worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from slackwater.river.river import prepare
from slackwater.river.travel import drifting
from tests.river_builder import YEAR_DAYS, river_of

DAY_M = 86_400.0 * 0.5  # a day's drift at 0.5 m/s


def lags_of(reaches: list[dict[str, object]], **more: object) -> list[int]:
    """Lags in the order of the rows, the guild starting in the first reach."""
    rows = [{"velocity_coef": 0.5, **row} for row in reaches]
    catchment = river_of(
        rows,
        [{"reach_id": rows[-1]["reach_id"]}],
        production=[{"reach_id": rows[0]["reach_id"], "production": 1.0}],
        **more,
    )
    return prepare(catchment).seasons[0].lag_days.tolist()


def test_a_chain() -> None:
    """Reaches of 3, 2 and 1.5 days: 1.5 + 2 + 1.5 = 5, 1 + 1.5 = 2.5 -> 3, 0.75 -> 1 days.

    From mid-length: half of the reach itself and all of those below, halves rounded up.
    """
    assert lags_of(
        [
            {"reach_id": "a", "to_reach": "b", "length_m": 3 * DAY_M},
            {"reach_id": "b", "to_reach": "c", "length_m": 2 * DAY_M},
            {"reach_id": "c", "length_m": 1.5 * DAY_M},
        ]
    ) == [5, 3, 1]


def test_arms_are_averaged_by_share() -> None:
    """Arms of 1 and 5 days at 0.75 : 0.25 mean 2 days below the fork: 0.5 + 2 = 2.5 -> 3."""
    lags = lags_of(
        [
            {"reach_id": "a", "to_reach": "b", "length_m": DAY_M},
            {"reach_id": "b", "length_m": DAY_M},
            {"reach_id": "c", "length_m": 5 * DAY_M},
        ],
        splits=[{"from_reach": "a", "to_reach": "b", "share": 0.75},
                {"from_reach": "a", "to_reach": "c", "share": 0.25}],
    )  # fmt: skip
    assert lags == [3, 1, 3]  # 0.5 -> 1 and 2.5 -> 3 for the arms themselves


def test_slower_drifters_lag_longer() -> None:
    """Drifting at half the water's speed, one day becomes two: 1 day from mid-length."""
    reach = [{"reach_id": "a", "length_m": DAY_M}]
    assert lags_of(reach, guilds=[{"drift_speed_ratio": 0.5}]) == [1]
    assert lags_of([{"reach_id": "a", "length_m": 0.9 * DAY_M}]) == [0]


def test_days_are_weighted_by_the_drifters_adrift() -> None:
    """Released on one day that runs twice as slow as the next ones, the slow day weighs most.

    With drift_days 1 and no deaths, D is 1, e^-1, e^-2 ... from the release day; travel is 2 days
    on that day and 1 after: T = (2 + 1/(e - 1)) / (1 + 1/(e - 1)) = 2 - e^-1 = 1.632; half of it
    is 0.816 -> 1. With speeds the other way round T = 1 + e^-1 = 1.368 and 4 reaches in a row
    tell the two apart: 3.5 T = 5.71 -> 6 against 4.79 -> 5.
    """
    decay = drifting(np.eye(1, 200)[0], 1.0)
    assert decay[:3] == pytest.approx([1.0, math.exp(-1), math.exp(-2)])
    chain = [
        {"reach_id": f"r{i}", "to_reach": f"r{i + 1}" if i < 3 else "", "length_m": DAY_M,
         "velocity_exp": 1.0, "velocity_coef": 0.05}
        for i in range(4)
    ]  # fmt: skip
    slow_then_fast, fast_then_slow = np.full(YEAR_DAYS, 10.0), np.full(YEAR_DAYS, 5.0)
    slow_then_fast[101], fast_then_slow[101] = 5.0, 10.0
    guilds = [{"drift_days": 1.0}]
    assert lags_of(chain, flows={"G": slow_then_fast}, guilds=guilds)[0] == 6
    assert lags_of(chain, flows={"G": fast_then_slow}, guilds=guilds)[0] == 5


def test_a_reach_no_one_drifts_in_has_no_travel() -> None:
    """Where nothing is released at all the lags are 0."""
    catchment = river_of([{"reach_id": "a", "length_m": 9 * DAY_M}], [{"reach_id": "a"}])
    assert prepare(catchment).seasons[0].lag_days.tolist() == [0]


def test_the_day_met_is_the_lagged_one() -> None:
    """Released on 10 October two days above, drifters meet a pump that runs on the 12th only."""
    reaches = [
        {"reach_id": "a", "to_reach": "b", "length_m": 2 * DAY_M, "velocity_coef": 0.5},
        {"reach_id": "b", "length_m": 2 * DAY_M, "velocity_coef": 0.5},
    ]
    for day, share in (("2018-10-11", 0.0), ("2018-10-12", 0.3), ("2018-10-13", 0.0)):
        catchment = river_of(
            reaches,
            [{"offtake_id": "p", "reach_id": "b", "chainage_m": DAY_M,
              **{f"use_{m:02d}": 0.0 for m in range(1, 13)}}],
            production=[{"reach_id": "a", "production": 100.0}],
            metered=[{"offtake_id": "p", "date": day, "draw_m3s": 3.0}],
        )  # fmt: skip
        river = prepare(catchment)
        assert river.seasons[0].lag_days.tolist() == [3, 1]
        assert river.measure(np.zeros((1, 1))).taken[0, 0, 0] == pytest.approx(100 * share)
