"""How much water does each offtake draw each day, and what share of the passing drifters is that?

Section 5 of the methods page.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.units import FLOW_PER_M3S

Numbers = NDArray[np.float64]
ML_PER_M3S_DAY = FLOW_PER_M3S["ML/d"]


@dataclass(frozen=True)
class Draw:
    """What was drawn in one season-year.

    Attributes
    ----------
    draw_m3s : (offtakes, days).
    drawn_share : (offtakes, days) draw over the flow of its reach, 0 where dry.
    night_share : (offtakes, days) fraction of the day that is night; NaN at offtakes whose share
        of draw at night is unknown, where it changes nothing.
    volume_ml : (offtakes,) over the season-year.
    overdrawn_days : (reaches,) int64, days the draws of a reach together exceed its flow.
    """

    draw_m3s: Numbers
    drawn_share: Numbers
    night_share: Numbers
    volume_ml: Numbers
    overdrawn_days: NDArray[np.int64]


def night_fraction(day_of_year: NDArray[np.int64], latitude_deg: Numbers) -> Numbers:
    """(places, days) fraction of the day that is night, held in 0.01..0.99.

    Source: FAO Irrigation and Drainage Paper 56, equations 24, 25 and 34.
    """
    declination = 0.409 * np.sin(2 * np.pi * day_of_year / 365 - 1.39)
    latitude = np.radians(latitude_deg)[:, None]
    argument = np.clip(-np.tan(latitude) * np.tan(declination)[None, :], -1.0, 1.0)
    return np.clip(1.0 - np.arccos(argument) / np.pi, 0.01, 0.99)


def diel_factor(night_drift_share: float, night_use_share: Numbers, night: Numbers) -> Numbers:
    """(offtakes, days) how much more it meets drifters than if both were even round the clock.

    ``n p / h + (1 - n)(1 - p)/(1 - h)``; 1 where the guild's night share is unknown (NaN), and
    where the offtake's is (then ``p = h``).
    """
    if np.isnan(night_drift_share):
        return np.ones_like(night)
    factor = np.ones_like(night)
    known = ~np.isnan(night_use_share)
    n, p, h = night_drift_share, night_use_share[known, None], night[known]
    factor[known] = n * p / h + (1 - n) * (1 - p) / (1 - h)
    return factor


def metered_days(catchment: Catchment, first_day: np.datetime64, days: int) -> Numbers:
    """(offtakes, days) metered draw, NaN where the day was not recorded.

    With ``metered_missing = "zero"`` a day without a row between an offtake's first and last
    record is 0.
    """
    metered, offtakes = catchment.table("metered"), catchment.table("offtakes")
    result = np.full((len(offtakes), days), np.nan)
    if not len(metered):
        return result
    offtake = catchment.metered_offtake
    day = (metered.date("date") - first_day).astype(np.int64)
    if catchment.settings.metered_missing == "zero":
        for position in np.unique(offtake):
            own = day[offtake == position]
            result[position, max(int(own.min()), 0) : max(int(own.max()) + 1, 0)] = 0.0
    within = (day >= 0) & (day < days)
    result[offtake[within], day[within]] = metered.number("draw_m3s")[within]
    return result


def draw_of_year(catchment: Catchment, gauge: NDArray[np.int64], year_position: int) -> Draw:
    """Work out the draw of every offtake in one season-year.

    Parameters
    ----------
    gauge : (reaches,) gauge of each reach.
    """
    records, offtakes = catchment.records, catchment.table("offtakes")
    year = int(records.years[year_position])
    first, days = int(records.year_first[year_position]), int(records.year_days[year_position])
    first_day = records.first_day + first
    dates = first_day + np.arange(days)
    month = dates.astype("datetime64[M]").astype(np.int64) % 12
    reach = catchment.reach_index
    flow = (
        catchment.flow_scale[reach][:, None] * records.flow_m3s[gauge[reach], first : first + days]
    )
    planned = (
        offtakes.number("capacity_m3s")[:, None]
        * catchment.use_share[:, month]
        * catchment.settings.allocation.get(year, 1.0)
    )
    planned = np.where(flow < offtakes.number("cease_flow_m3s")[:, None], 0.0, planned)
    metered = metered_days(catchment, first_day, days)
    draw = np.minimum(np.where(np.isnan(metered), planned, metered), flow)
    night = np.full_like(draw, np.nan)
    known = ~np.isnan(offtakes.number("night_use_share"))
    day_of_year = (dates - dates.astype("datetime64[Y]")).astype(np.int64) + 1
    night[known] = night_fraction(day_of_year, catchment.latitude_deg[known])
    return Draw(
        draw_m3s=draw,
        drawn_share=np.divide(draw, flow, out=np.zeros_like(draw), where=flow > 0),
        night_share=night,
        volume_ml=draw.sum(axis=1) * ML_PER_M3S_DAY,
        overdrawn_days=_overdrawn_days(draw, flow, reach, len(catchment.length_m)),
    )


def _overdrawn_days(
    draw: Numbers, flow: Numbers, reach: NDArray[np.int64], reaches: int
) -> NDArray[np.int64]:
    """(reaches,) days on which the draws of a reach together exceed its flow."""
    order = np.argsort(reach, kind="stable")
    drawn_from, first = np.unique(reach[order], return_index=True)
    together = np.add.reduceat(draw[order], first, axis=0)
    days = np.zeros(reaches, np.int64)
    days[drawn_from] = (together > flow[order][first] * (1 + 1e-9)).sum(axis=1)
    return days


def taken_share(
    draw: Draw, encounter: float, position: Numbers, night_drift_share: float,
    night_use_share: Numbers,
) -> Numbers:  # fmt: skip
    """(offtakes, days) share of those passing that is taken without a screen, at most 1."""
    diel = diel_factor(night_drift_share, night_use_share, draw.night_share)
    return np.minimum(1.0, encounter * position[:, None] * diel * draw.drawn_share)
