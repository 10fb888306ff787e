"""What flowed past each gauge, and which season-years can be used? Gaps, temperature, years."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

DAY = np.timedelta64(1, "D")


@dataclass(frozen=True)
class Records:
    """Daily flow and water temperature on one axis of days, and the season-years in it.

    Attributes
    ----------
    first_day : datetime64[D], day 0 of the axis.
    flow_m3s : (gauges, days); gaps of at most ``max_gap_days`` filled; NaN in longer ones and
        outside the gauge's record.
    flow_recorded : (gauges, days) bool, true where a flow was in the data.
    temperature_c : (gauges, days); short gaps filled, then the mean of that day in other years;
        NaN where there is none.
    has_temperature : (gauges,) bool.
    flow_filled_days, temperature_filled_days, temperature_borrowed_days,
    temperature_missing_days : (gauges,) int64, counts within the record of flow.
    years : (years,) int64, complete season-years by the calendar year they start in, ascending.
    year_first : (years,) int64, their first day on the axis.
    year_days : (years,) int64, 365 or 366.
    incomplete_years : season-years touched by the record but not complete.
    """

    first_day: np.datetime64
    flow_m3s: NDArray[np.float64]
    flow_recorded: NDArray[np.bool_]
    temperature_c: NDArray[np.float64]
    has_temperature: NDArray[np.bool_]
    flow_filled_days: NDArray[np.int64]
    temperature_filled_days: NDArray[np.int64]
    temperature_borrowed_days: NDArray[np.int64]
    temperature_missing_days: NDArray[np.int64]
    years: NDArray[np.int64]
    year_first: NDArray[np.int64]
    year_days: NDArray[np.int64]
    incomplete_years: tuple[int, ...]

    @property
    def dates(self) -> NDArray[np.datetime64]:
        """(days,) the axis as dates."""
        return self.first_day + np.arange(self.flow_m3s.shape[1]) * DAY

    def median_flow_m3s(self) -> NDArray[np.float64]:
        """(gauges,) median of the recorded days above 0; NaN where there is none."""
        medians = np.full(len(self.flow_m3s), np.nan)
        for gauge, (flow, recorded) in enumerate(
            zip(self.flow_m3s, self.flow_recorded, strict=True)
        ):
            running = flow[recorded & (flow > 0)]
            if running.size:
                medians[gauge] = np.median(running)
        return medians

    def mean_flow_m3s(self) -> NDArray[np.float64]:
        """(gauges,) mean of the recorded days; NaN where there is none."""
        counts = self.flow_recorded.sum(axis=1)
        totals = np.where(self.flow_recorded, self.flow_m3s, 0.0).sum(axis=1)
        means: NDArray[np.float64] = np.where(counts > 0, totals / np.maximum(counts, 1), np.nan)
        return means


def fill_short_gaps(values: NDArray[np.float64], max_gap_days: int) -> NDArray[np.float64]:
    """Fill gaps of at most ``max_gap_days`` days between two values linearly.

    Parameters
    ----------
    values : (days,) NaN where there is no value.

    Returns
    -------
    (days,) copy; longer gaps and days before the first or after the last value stay NaN.
    """
    filled = values.copy()
    known = np.flatnonzero(~np.isnan(values))
    for last in np.flatnonzero(np.diff(known) > 1):  # known days with a gap after them
        before, after = known[last], known[last + 1]
        gap_days = after - before - 1
        if gap_days <= max_gap_days:
            steps = np.arange(1, gap_days + 1) / (gap_days + 1)
            filled[before + 1 : after] = values[before] + steps * (values[after] - values[before])
    return filled


def _means_of_other_years(
    recorded_c: NDArray[np.float64], dates: NDArray[np.datetime64]
) -> NDArray[np.float64]:
    """(days,) mean of the recorded values of that day of the year in other calendar years."""
    year = dates.astype("datetime64[Y]").astype(np.int64)
    month = dates.astype("datetime64[M]").astype(np.int64) % 12
    day = (dates - dates.astype("datetime64[M]")).astype(np.int64)
    own = month * 31 + day
    sought = np.where(own == 31 + 28, 31 + 27, own)  # 02-29 looks at their 02-28
    known = ~np.isnan(recorded_c)
    total = np.zeros(12 * 31)
    count = np.zeros(12 * 31)
    np.add.at(total, own[known], recorded_c[known])
    np.add.at(count, own[known], 1)
    # what its own calendar year put into the sum it looks at
    slot = (year - year.min()) * (12 * 31)
    own_total = np.zeros((year.max() - year.min() + 1) * 12 * 31)
    own_count = np.zeros_like(own_total)
    np.add.at(own_total, (slot + own)[known], recorded_c[known])
    np.add.at(own_count, (slot + own)[known], 1)
    others = count[sought] - own_count[slot + sought]
    sums = total[sought] - own_total[slot + sought]
    return np.where(others > 0, sums / np.maximum(others, 1), np.nan)


def _season_years(
    dates: NDArray[np.datetime64], usable: NDArray[np.bool_], season_start_month: int
) -> tuple[list[tuple[int, int, int]], list[int]]:
    """Give complete season-years as (year, first day on the axis, days), and the others."""
    first_year = int(str(dates[0])[:4]) - 1
    last_year = int(str(dates[-1])[:4])
    complete: list[tuple[int, int, int]] = []
    partial: list[int] = []
    for year in range(first_year, last_year + 1):
        start = np.datetime64(f"{year:04d}-{season_start_month:02d}-01")
        end = np.datetime64(f"{year + 1:04d}-{season_start_month:02d}-01")
        first = int((start - dates[0]) / DAY)
        last = int((end - dates[0]) / DAY)
        if first >= 0 and last <= len(dates) and usable[first:last].all():
            complete.append((year, first, last - first))
        elif last > 0 and first < len(dates):
            partial.append(year)
    return complete, partial


def make_records(
    gauge_index: NDArray[np.int64],
    date: NDArray[np.datetime64],
    flow_m3s: NDArray[np.float64],
    water_temp_c: NDArray[np.float64],
    *,
    used_gauges: NDArray[np.bool_],
    season_start_month: int,
    max_gap_days: int,
) -> Records:
    """Lay the daily rows on one axis, fill, and find the season-years that are complete.

    Parameters
    ----------
    gauge_index, date, flow_m3s, water_temp_c : (rows,) the ``daily`` table in any order, at least
        one row, no date twice at a gauge.
    used_gauges : (gauges,) true where a reach uses it; a year is complete by these alone.
    """
    first_day, last_day = date.min(), date.max()
    n_days = int((last_day - first_day) / DAY) + 1
    dates = first_day + np.arange(n_days) * DAY
    n_gauges = len(used_gauges)
    flow = np.full((n_gauges, n_days), np.nan)
    temperature = np.full((n_gauges, n_days), np.nan)
    day = ((date - first_day) / DAY).astype(np.int64)
    flow[gauge_index, day] = flow_m3s
    temperature[gauge_index, day] = water_temp_c
    flow_recorded = ~np.isnan(flow)
    has_temperature = (~np.isnan(temperature)).any(axis=1)
    filled = np.array([fill_short_gaps(row, max_gap_days) for row in flow])
    near = np.array([fill_short_gaps(row, max_gap_days) for row in temperature])
    borrowed = np.array([_means_of_other_years(row, dates) for row in temperature])
    complete_c = np.where(np.isnan(near), borrowed, near)
    in_record = np.array([_span(row) for row in flow_recorded])
    usable = (~np.isnan(filled))[used_gauges].all(axis=0)
    complete, partial = _season_years(dates, usable, season_start_month)
    return Records(
        first_day=first_day,
        flow_m3s=filled,
        flow_recorded=flow_recorded,
        temperature_c=complete_c,
        has_temperature=has_temperature,
        flow_filled_days=(~np.isnan(filled) & ~flow_recorded).sum(axis=1),
        temperature_filled_days=(~np.isnan(near) & np.isnan(temperature)).sum(axis=1),
        temperature_borrowed_days=(np.isnan(near) & ~np.isnan(borrowed) & in_record).sum(axis=1),
        temperature_missing_days=(np.isnan(complete_c) & in_record).sum(axis=1),
        years=np.array([year for year, _, _ in complete], np.int64),
        year_first=np.array([first for _, first, _ in complete], np.int64),
        year_days=np.array([days for _, _, days in complete], np.int64),
        incomplete_years=tuple(partial),
    )


def _span(recorded: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """(days,) true from the first to the last recorded day."""
    span = np.zeros_like(recorded)
    days = np.flatnonzero(recorded)
    if days.size:
        span[days[0] : days[-1] + 1] = True
    return span
