"""On which days does a guild spawn, and how much of a full season's production on each?

Section 3 of the methods page.
"""

from __future__ import annotations

import calendar
from datetime import date

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment

Numbers = NDArray[np.float64]


def day_shares(catchment: Catchment, guild: int, year: int) -> Numbers:
    """(gauges, days) share of a full season that starts each day of a season-year.

    ``year`` is a position among the complete season-years.
    """
    records, guilds = catchment.records, catchment.table("guilds")
    days = slice(
        int(records.year_first[year]), int(records.year_first[year] + records.year_days[year])
    )
    window = _window(catchment, guild, year)
    shares = np.zeros((len(records.flow_m3s), len(window)))
    for gauge, flow_m3s in enumerate(records.flow_m3s):
        warmth = _warmth(catchment, guild, records.temperature_c[gauge, days])
        cue = _flow_cue(catchment, guild, flow_m3s, records.flow_recorded[gauge])[days]
        suitable = np.where(flow_m3s[days] > 0, window * warmth * cue, 0.0)
        total = float(suitable.sum())
        if total > 0:
            effort = min(1.0, total / float(guilds.number("full_season_days")[guild]))
            shares[gauge] = effort * suitable / total
    return shares


def _rise_and_fall(x: Numbers, start: float, full: float, easing: float, end: float) -> Numbers:
    """(n,) the lower of a ramp up and a ramp down; a ramp of no length is a step, 1 at its foot."""
    up = (x >= full) * 1.0 if start == full else np.clip((x - start) / (full - start), 0.0, 1.0)
    down = (x <= easing) * 1.0 if easing == end else np.clip((end - x) / (end - easing), 0.0, 1.0)
    lower: Numbers = np.minimum(up, down)
    return lower


def _window(catchment: Catchment, guild: int, year: int) -> Numbers:
    """(days,) the window's trapezoid over the days of the season-year."""
    records, guilds = catchment.records, catchment.table("guilds")
    start_month = catchment.settings.season_start_month
    named = int(records.years[year])
    first = date(named, start_month, 1).toordinal()
    corners = []
    for column in ("window_start", "window_full", "window_easing", "window_end"):
        month, day = (int(part) for part in str(guilds.text(column)[guild]).split("-"))
        calendar_year = named + (month < start_month)
        if (month, day) == (2, 29) and not calendar.isleap(calendar_year):
            day = 28
        corners.append(float(date(calendar_year, month, day).toordinal() - first))
    return _rise_and_fall(np.arange(float(records.year_days[year])), *corners)


def _warmth(catchment: Catchment, guild: int, water_c: Numbers) -> Numbers:
    """(days,) the temperature's trapezoid; 1 where no temperature is known."""
    guilds = catchment.table("guilds")
    cold, full, easing, hot = (
        float(guilds.number(column)[guild])
        for column in ("temp_min", "temp_full", "temp_easing", "temp_max")
    )
    known = np.where(np.isnan(water_c), 0.0, water_c)
    warmth = np.ones(len(water_c))
    if not np.isnan([cold, full]).all():
        cold, full = (full if np.isnan(cold) else cold), (cold if np.isnan(full) else full)
        warmth = np.minimum(warmth, _rise_and_fall(known, cold, full, np.inf, np.inf))
    if not np.isnan([easing, hot]).all():
        easing, hot = (hot if np.isnan(easing) else easing), (easing if np.isnan(hot) else hot)
        warmth = np.minimum(warmth, _rise_and_fall(known, -np.inf, -np.inf, easing, hot))
    return np.where(np.isnan(water_c), 1.0, warmth)


def _flow_cue(
    catchment: Catchment, guild: int, flow_m3s: Numbers, recorded: NDArray[np.bool_]
) -> Numbers:
    """(days of the record,) 1 on a rise and the ``trigger_days`` after it, else ``flow_floor``."""
    guilds = catchment.table("guilds")
    trigger = float(guilds.number("flow_trigger")[guild])
    n = len(flow_m3s)
    if trigger <= 0:
        return np.ones(n)
    total, count = np.zeros(n), np.zeros(n)
    for back in range(1, min(8, n)):
        total[back:] += np.where(recorded, flow_m3s, 0.0)[:-back]
        count[back:] += recorded[:-back]
    flow = np.nan_to_num(flow_m3s)
    rise = (flow > 0) & (count > 0) & (flow >= trigger * (total / np.maximum(count, 1.0)))
    day = np.arange(float(n))
    since = day - np.maximum.accumulate(np.where(rise, day, -np.inf))
    cued = since <= float(guilds.number("trigger_days")[guild])
    return np.where(cued, 1.0, float(guilds.number("flow_floor")[guild]))
