"""What does each offtake draw, and what share of those passing does a bare intake take?

Section 5 of the methods page, and the volumes of section 6.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.water import Water

Numbers = NDArray[np.float64]
ML_A_DAY = 86.4  # of 1 m3/s


def draw_m3s(catchment: Catchment, water: Water) -> Numbers:
    """(offtakes, days) draw: metered where recorded, else planned; never above the reach's flow."""
    offtakes = catchment.table("offtakes")
    flow_m3s = water.flow_m3s[catchment.reach_index]
    month = water.dates.astype("datetime64[M]").astype(np.int64) % 12
    year = int(catchment.records.years[water.year])
    capacity_m3s = offtakes.number("capacity_m3s")[:, None]
    allocation = catchment.settings.allocation.get(year, 1.0)
    drawn = capacity_m3s * catchment.use_share[:, month] * allocation
    drawn[flow_m3s < offtakes.number("cease_flow_m3s")[:, None]] = 0.0
    _put_metered(catchment, water, drawn)
    held: Numbers = np.minimum(drawn, flow_m3s)
    return held


def _put_metered(catchment: Catchment, water: Water, drawn: Numbers) -> None:
    """Write the metered draw over the planned one, in place."""
    metered = catchment.table("metered")
    days_of: dict[str, dict[int, float]] = {}
    day = (metered.date("date") - water.dates[0]).astype(np.int64)
    for name, at, draw in zip(
        metered.text("offtake_id"), day, metered.number("draw_m3s"), strict=True
    ):
        days_of.setdefault(str(name), {})[int(at)] = float(draw)
    for name, record in days_of.items():
        row = drawn[catchment.table("offtakes").index[name]]
        if catchment.settings.metered_missing == "zero":
            row[max(min(record), 0) : max(max(record) + 1, 0)] = 0.0
        for at, draw in record.items():
            if 0 <= at < len(row):
                row[at] = draw


def bare_share(catchment: Catchment, water: Water, guild: int, drawn_m3s: Numbers) -> Numbers:
    """(offtakes, days) ``min(1, kappa q / Q)``: what an intake without screen takes of a guild."""
    offtakes, guilds = catchment.table("offtakes"), catchment.table("guilds")
    flow_m3s = water.flow_m3s[catchment.reach_index]
    of_flow = np.divide(drawn_m3s, flow_m3s, out=np.zeros_like(flow_m3s), where=flow_m3s > 0)
    kappa = (
        guilds.number("encounter")[guild]
        * offtakes.number("position")[:, None]
        * _diel(catchment, water, guild)
    )
    share: Numbers = np.minimum(1.0, kappa * of_flow)
    return share


def _diel(catchment: Catchment, water: Water, guild: int) -> Numbers:
    """(offtakes, days) meeting of a guild's night drift and an offtake's night draw.

    Source: FAO Irrigation and Drainage Paper 56, equations 24, 25 and 34, for the night's length.
    """
    n = float(catchment.table("guilds").number("night_drift_share")[guild])
    if np.isnan(n):
        return np.ones((len(catchment.latitude_deg), len(water.dates)))
    day_of_year = (water.dates - water.dates.astype("datetime64[Y]")).astype(np.int64) + 1
    declination = 0.409 * np.sin(2 * np.pi * day_of_year / 365 - 1.39)
    sunset = -np.outer(np.tan(np.radians(catchment.latitude_deg)), np.tan(declination))
    h = np.clip(1 - np.arccos(np.clip(sunset, -1.0, 1.0)) / np.pi, 0.01, 0.99)
    given = catchment.table("offtakes").number("night_use_share")[:, None]
    p = np.where(np.isnan(given), h, given)
    met: Numbers = n * p / h + (1 - n) * (1 - p) / (1 - h)
    return met
