"""On which days do drifters start: windows, warmth, cues and effort worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.river.season import corner_day, cue, day_shares, suitability, trapezoid
from tests.river_builder import river_of


def test_a_trapezoid() -> None:
    """Corners 2, 4, 5, 9: 0 at 2, a half at 3, 1 at 4 and 5, then 3/4, 1/2, 1/4 to 0 at 9."""
    ours = trapezoid(np.arange(11.0), 2, 4, 5, 9)
    assert ours == pytest.approx([0, 0, 0, 0.5, 1, 1, 0.75, 0.5, 0.25, 0, 0])


def test_a_step_belongs_to_the_full_part() -> None:
    """Where start and full fall together that day is full, and so at the end."""
    assert trapezoid(np.arange(5.0), 1, 1, 3, 3) == pytest.approx([0, 1, 1, 1, 0])


@pytest.mark.parametrize(
    ("corner", "year", "date"),
    [("10-01", 2018, "2018-10-01"), ("01-31", 2018, "2019-01-31"), ("02-29", 2018, "2019-02-28"),
     ("02-29", 2019, "2020-02-29"), ("02-29", 2099, "2100-02-28")],
)  # fmt: skip
def test_a_corner_is_a_date_of_the_season_year(corner: str, year: int, date: str) -> None:
    """From July a corner in January lies in the next year; 29 February where there is one."""
    assert corner_day(corner, year, 7) == np.datetime64(date)


def test_a_cue_is_a_rise_over_the_week_before() -> None:
    """At 1.5 times: mean of 7 days of 10 is 10, so 15 cues and 14.9 does not; it lasts 2 days."""
    flow = np.array([10.0] * 7 + [14.9, 15.0, 10.0, 10.0, 10.0])
    # day 8: the 7 before are six of 10 and 14.9, mean 10.7, so 15 does not cue: 16.05 would
    assert cue(flow, np.ones(12, bool), 1.5, 2, 0.2).tolist() == [0.2] * 12
    flow[8] = 16.1
    assert cue(flow, np.ones(12, bool), 1.5, 2, 0.2).tolist() == [0.2] * 8 + [1, 1, 1, 0.2]


def test_a_cue_looks_at_recorded_days_only() -> None:
    """Two recorded days of 4 and 8 among the seven before mean 6; filled ones do not count."""
    flow = np.array([4.0, 100.0, 100.0, 8.0, 100.0, 9.0])
    recorded = np.array([True, False, False, True, False, False])
    ours = cue(flow, recorded, 1.5, 0, 0.0)
    assert ours[5] == 1.0  # 9 >= 1.5 x 6, though the day itself was filled
    assert ours[0] == 0.0  # no day before it


def test_effort_of_the_year() -> None:
    """Suitable days sum to 3 of 6 wanted: effort 0.5, shared 1 : 2 : 3 over the days."""
    shares = day_shares(np.array([[0.5, 1.0, 1.5]]), 6.0)
    assert shares[0] == pytest.approx([0.5 / 6, 1 / 6, 1.5 / 6])
    assert day_shares(np.array([[0.5, 1.0, 1.5]]), 2.0).sum() == pytest.approx(1.0)
    assert not day_shares(np.zeros((1, 3)), 2.0).any()


def test_one_corner_of_temperature_stands_for_its_pair() -> None:
    """With temp_full 16 alone, 15.9 does not suit and 16 does; the warm side is open."""
    for water_c, value in ((15.9, 0.0), (16.0, 1.0), (35.0, 1.0)):
        catchment = river_of([{"reach_id": "r"}], [{"reach_id": "r"}], guilds=[{"temp_full": 16.0}],
                             temperatures={"G": np.full(365, water_c)})  # fmt: skip
        assert suitability(catchment, 0, 0).sum() == value


def test_warmth_ramps() -> None:
    """Between temp_min 14 and temp_full 18 a day of 15 suits by a quarter."""
    guild = {"temp_min": 14.0, "temp_full": 18.0}
    catchment = river_of([{"reach_id": "r"}], [{"reach_id": "r"}], guilds=[guild],
                         temperatures={"G": np.full(365, 15.0)})  # fmt: skip
    assert suitability(catchment, 0, 0).sum() == pytest.approx(0.25)
