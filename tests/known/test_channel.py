"""Velocity by Manning, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.catchment.channel import velocity_coefs
from tests.river_builder import YEAR_DAYS, river_of


def test_manning_for_a_wide_rectangle() -> None:
    """Q 20, n .035, w 25, S .0004 give a depth of 1.2237 m and a velocity of 0.653755 m/s.

    h = (20 x .035 / (25 x .02))**.6 = 1.4**.6 = 1.22370; v = Q / (w h) = 20 / 30.5925.
    """
    one = np.ones(1)
    ours = velocity_coefs(np.nan * one, 0.34 * one, 25 * one, 0.0004 * one, 0.035 * one, 20 * one)
    assert ours[0] * 20**0.34 == pytest.approx(0.653755, abs=1e-5)
    assert ours[0] == pytest.approx(0.653755 / 20**0.34, rel=1e-5)


def test_it_is_taken_at_the_median_of_running_days() -> None:
    """Days at 0 do not count: of 1, 0, 0, 9, 5 ... the median of days above 0 is used."""
    flow = np.zeros(YEAR_DAYS)
    flow[:5] = 1.0, 9.0, 5.0, 2.0, 3.0  # five running days, median 3
    catchment = river_of(
        [{"reach_id": "r", "velocity_coef": None, "velocity_exp": 0.34, "width_m": 25.0,
          "slope": 0.0004, "flow_scale": 2.0}],
        [{"reach_id": "r"}], flows={"G": flow},
    )  # fmt: skip
    depth = (6.0 * 0.035 / (25.0 * 0.02)) ** 0.6
    assert catchment.velocity_coef[0] == pytest.approx(6.0 / (25.0 * depth) / 6.0**0.34)
