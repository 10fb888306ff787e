"""Gaps, borrowed temperatures and season-years worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.catchment.records import Records, fill_short_gaps
from tests.river_builder import river_of

NAN = np.nan


def records_of(**more: object) -> Records:
    """Records of a river of one reach."""
    return river_of([{"reach_id": "r"}], [{"reach_id": "r"}], **more).records


def test_a_short_gap_is_filled_linearly() -> None:
    """Between 2 and 8 two missing days are 4 and 6; a gap longer than allowed stays."""
    assert fill_short_gaps(np.array([2, NAN, NAN, 8]), 2) == pytest.approx([2, 4, 6, 8])
    assert np.isnan(fill_short_gaps(np.array([2, NAN, NAN, 8]), 1)[1:3]).all()
    ends = fill_short_gaps(np.array([NAN, 1, 2, NAN]), 5)
    assert np.isnan(ends[[0, 3]]).all()


def test_only_complete_season_years_are_used() -> None:
    """From May 2018 to May 2020 only the season-year of July 2018 is whole."""
    records = records_of(first_day="2018-05-01", days=731)
    assert records.years.tolist() == [2018]
    assert records.year_days.tolist() == [365]
    assert records.incomplete_years == (2017, 2019)
    assert records.dates[records.year_first[0]] == np.datetime64("2018-07-01")


def test_a_long_gap_spoils_its_year_only() -> None:
    """Eleven days without flow in October 2018 leave the leap year of July 2019."""
    flow = np.full(731, 10.0)
    flow[100:111] = NAN
    records = records_of(flows={"G": flow}, days=731)
    assert records.years.tolist() == [2019]
    assert records.year_days.tolist() == [366]
    flow[110] = 10.0  # now ten days: filled and counted
    records = records_of(flows={"G": flow}, days=731)
    assert records.years.tolist() == [2018, 2019]
    assert records.flow_filled_days.tolist() == [10]


def test_temperature_is_borrowed_from_other_years() -> None:
    """A long gap takes the mean of that day in other calendar years: (11 + 15) / 2 = 13.

    15 November 2019 lies in a gap of 40 days; in 2018 it was 11 and in 2020 15.
    """
    dates = np.datetime64("2018-07-01") + np.arange(3 * 365 + 1)
    year = dates.astype("datetime64[Y]").astype(int) + 1970
    water = np.select([year == 2018, year == 2019, year == 2020], [11.0, 99.0, 15.0], 40.0)
    gap = (dates >= np.datetime64("2019-11-01")) & (dates < np.datetime64("2019-12-11"))
    water[gap] = NAN
    records = records_of(temperatures={"G": water}, days=len(dates))
    day = int(np.flatnonzero(dates == np.datetime64("2019-11-15"))[0])
    assert records.temperature_c[0, day] == pytest.approx(13.0)
    assert records.temperature_borrowed_days.tolist() == [40]


def test_the_29th_of_february_borrows_from_the_28th() -> None:
    """29 February 2020 without temperature takes the mean of 28 February 2019 and 2021, here 21."""
    dates = np.datetime64("2018-07-01") + np.arange(3 * 365 + 1)
    text = dates.astype(str)
    water = np.full(len(dates), 5.0)
    water[text == "2019-02-28"], water[text == "2021-02-28"] = 20.0, 22.0
    water[(text >= "2020-02-20") & (text <= "2020-03-10")] = NAN
    records = records_of(temperatures={"G": water}, days=len(dates))
    assert records.temperature_c[0, text == "2020-02-29"] == pytest.approx([21.0])
