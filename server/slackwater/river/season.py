"""On which days of a season-year do drifters start? Window, warmth, flow cue and effort.

Section 3 of the methods page of the guide.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment

Numbers = NDArray[np.float64]
CORNERS = ("window_start", "window_full", "window_easing", "window_end")
TEMPERATURES = ("temp_min", "temp_full", "temp_easing", "temp_max")


def trapezoid(at: Numbers, start: float, full: float, easing: float, end: float) -> Numbers:
    """Give 1 from ``full`` to ``easing`` inclusive, linear ramps to 0 at ``start`` and ``end``.

    Where a ramp has no length the edge is a step and belongs to the full part. Infinite corners
    leave that side open.
    """
    value = np.where((at >= full) & (at <= easing), 1.0, 0.0)
    if start < full:
        rising = (at >= start) & (at < full)
        value[rising] = (at[rising] - start) / (full - start)
    if end > easing:
        falling = (at > easing) & (at <= end)
        value[falling] = (end - at[falling]) / (end - easing)
    return value


def corner_day(corner: str, year: int, season_start_month: int) -> np.datetime64:
    """Give the date of an MM-DD corner within the season-year; 02-29 is 02-28 in a common year."""
    month, day = int(corner[:2]), int(corner[3:])
    calendar_year = year if month >= season_start_month else year + 1
    if (month, day) == (2, 29):
        leap = calendar_year % 4 == 0 and (calendar_year % 100 != 0 or calendar_year % 400 == 0)
        day = 29 if leap else 28
    return np.datetime64(f"{calendar_year:04d}-{month:02d}-{day:02d}")


def temperature_corners(
    low: float, full: float, easing: float, high: float
) -> tuple[float, float, float, float]:
    """Complete the four temperature corners: both of a pair empty leaves its side open (infinite);
    one empty equals the other.
    """
    if np.isnan(low) and np.isnan(full):
        low = full = -np.inf
    low, full = (full if np.isnan(low) else low), (low if np.isnan(full) else full)
    if np.isnan(easing) and np.isnan(high):
        easing = high = np.inf
    easing, high = (high if np.isnan(easing) else easing), (easing if np.isnan(high) else high)
    return low, full, easing, high


def cue(
    flow_m3s: Numbers, recorded: NDArray[np.bool_], trigger: float, days: int, floor: float
) -> Numbers:
    """(days,) 1 on a rise and the ``days`` days after it, else ``floor``.

    A rise is a day with flow of at least ``trigger`` times the mean over the recorded days among
    the 7 before; a day without such a day before it is none. NaN flow is no flow.
    """
    if trigger <= 0:
        return np.ones(len(flow_m3s))
    # a running sum loses digits where a flood stands before a low spell: sum each seven afresh
    seven_before = [
        np.lib.stride_tricks.sliding_window_view(np.concatenate((np.zeros(7), values)), 7)
        for values in (np.where(recorded, flow_m3s, 0.0), recorded.astype(np.float64))
    ]
    total, n = (windows[: len(flow_m3s)].sum(axis=1) for windows in seven_before)
    mean = total / np.maximum(n, 1.0)
    rise = (flow_m3s > 0) & (n > 0) & (flow_m3s >= trigger * mean)
    cued = rise.copy()
    for after in range(1, days + 1):
        cued[after:] |= rise[:-after]
    return np.where(cued, 1.0, floor)


def suitability(catchment: Catchment, guild: int, year_position: int) -> Numbers:
    """(gauges, days) suitability of each day of a season-year, 0..1; 0 on a day without flow."""
    records, guilds = catchment.records, catchment.table("guilds")
    year = int(records.years[year_position])
    first = int(records.year_first[year_position])
    days = int(records.year_days[year_position])
    begin = records.first_day + first
    start_month = catchment.settings.season_start_month
    corners = [corner_day(str(guilds.text(name)[guild]), year, start_month) for name in CORNERS]
    window = trapezoid(
        np.arange(days, dtype=np.float64),
        *(float((corner - begin).astype(np.int64)) for corner in corners),
    )
    low, full, easing, high = temperature_corners(
        *(float(guilds.number(name)[guild]) for name in TEMPERATURES)
    )
    result = np.zeros((len(records.flow_m3s), days))
    for gauge, flow in enumerate(records.flow_m3s):
        temperature_c = records.temperature_c[gauge, first : first + days]
        warmth = trapezoid(temperature_c, low, full, easing, high)
        warmth[np.isnan(temperature_c)] = 1.0
        cued = cue(
            flow,
            records.flow_recorded[gauge],
            float(guilds.number("flow_trigger")[guild]),
            int(guilds.number("trigger_days")[guild]),
            float(guilds.number("flow_floor")[guild]),
        )[first : first + days]
        running = flow[first : first + days] > 0
        result[gauge] = np.where(running, window * warmth * cued, 0.0)
    return result


def day_shares(suitable: Numbers, full_season_days: float) -> Numbers:
    """(gauges, days) share of a full season's production that starts each day.

    Effort of the year ``E = min(1, sum / full_season_days)``, shared over days by suitability.
    """
    total = suitable.sum(axis=1, keepdims=True)
    effort = np.minimum(1.0, total / full_season_days)
    return np.divide(effort * suitable, total, out=np.zeros_like(suitable), where=total > 0)
