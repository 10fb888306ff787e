"""What flows, and how long do drifters travel on it? Flow by reach, travel time, lags.

Section 2 of the methods page.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
SECONDS_A_DAY = 86400.0


@dataclass(frozen=True)
class Water:
    """One season-year's water.

    Attributes
    ----------
    year : position among the complete season-years.
    dates : (days,).
    gauge : (reaches,) row of the gauges table.
    flow_m3s : (reaches, days).
    days_a_metre : (reaches, days) water's own travel time; 0 on a dry day.
    """

    year: int
    dates: NDArray[np.datetime64]
    gauge: Positions
    flow_m3s: Numbers
    days_a_metre: Numbers


def water_of(catchment: Catchment, year: int) -> Water:
    """Work out flow and travel time of every reach and day of a season-year."""
    records, reaches = catchment.records, catchment.table("reaches")
    first, days = int(records.year_first[year]), int(records.year_days[year])
    gauges = catchment.table("gauges").index
    gauge = np.array([gauges[str(name)] for name in reaches.text("gauge_id")], np.int64)
    flow_m3s = catchment.flow_scale[:, None] * records.flow_m3s[gauge, first : first + days]
    runs = flow_m3s > 0
    exponent = reaches.number("velocity_exp")[:, None]
    velocity_ms = catchment.velocity_coef[:, None] * np.where(runs, flow_m3s, 1.0) ** exponent
    return Water(
        year=year,
        dates=records.first_day + np.arange(first, first + days),
        gauge=gauge,
        flow_m3s=flow_m3s,
        days_a_metre=np.where(runs, 1.0 / (SECONDS_A_DAY * velocity_ms), 0.0),
    )


def lags_days(
    catchment: Catchment, water: Water, guild: int, production: Numbers, day_share: Numbers
) -> Positions:
    """(reaches,) whole days from the mid-length of each reach to the outlet.

    Parameters
    ----------
    production : (reaches,) of the guild.
    day_share : (gauges, days) as `season.day_shares` gives it.
    """
    guilds, network = catchment.table("guilds"), catchment.network
    leaving = 1.0 / guilds.number("drift_days")[guild] + guilds.number("mortality_per_day")[guild]
    born = production @ day_share[water.gauge]
    adrift = np.empty(len(born))
    still = 0.0
    for day, heads in enumerate(born):
        still = adrift[day] = heads + still * np.exp(-leaving)
    on_running_days = np.where(water.flow_m3s > 0, adrift, 0.0)
    total = on_running_days.sum(axis=1)
    whole_days = (
        water.days_a_metre * catchment.length_m[:, None] / guilds.number("drift_speed_ratio")[guild]
    )
    crossing = np.divide(
        (on_running_days * whole_days).sum(axis=1), total, out=np.zeros(len(total)), where=total > 0
    )
    below = np.zeros(len(crossing))
    for reach in network.order[::-1]:
        arms = slice(network.first_arm[reach], network.first_arm[reach + 1])
        target = network.arm_reach[arms]
        below[reach] = network.arm_share[arms] @ (below[target] + crossing[target])
    lags: Positions = np.floor(below + crossing / 2 + 0.5 + 1e-6).astype(np.int64)
    return lags
