"""What an offtake draws on a day and what share of the passing drifters goes with it: the model
page, section 5.
"""

from __future__ import annotations

from datetime import date
from math import acos, pi, radians, sin, tan

from .tables import Catchment, Guild, Offtake


def use_by_month(offtake: Offtake, catchment: Catchment) -> list[float]:
    """The model page, section 5: own months (an empty one 0), else the mean of its kind, else of
    all kinds.
    """
    if any(use is not None for use in offtake.use_by_month):
        return [0.0 if use is None else use for use in offtake.use_by_month]
    known = [
        o for o in catchment.offtakes.values() if all(use is not None for use in o.use_by_month)
    ]
    lenders = [o for o in known if o.kind == offtake.kind] or known
    borrowed = []
    for month in range(12):
        uses = [use for lender in lenders if (use := lender.use_by_month[month]) is not None]
        borrowed.append(sum(uses) / len(uses))
    return borrowed


def metered_on(offtake: Offtake, day: date, catchment: Catchment) -> float | None:
    """The model page, section 5: the metered draw of that day, 0 for a missing day within the
    record where so set.
    """
    record = catchment.metered_m3s.get(offtake.offtake_id, {})
    if day in record:
        return record[day]
    if (
        record
        and catchment.settings.metered_missing == "zero"
        and min(record) <= day <= max(record)
    ):
        return 0.0
    return None


def draws_of_year(
    offtake: Offtake, days: list[date], year: int, flow_m3s: list[float], catchment: Catchment
) -> list[float]:
    """The model page, section 5: q by day, metered or by months; never above the reach's flow, 0
    where that is 0.
    """
    use = use_by_month(offtake, catchment)
    allocation = catchment.settings.allocation.get(year, 1.0)
    draws_m3s = []
    for t, day in enumerate(days):
        draw = metered_on(offtake, day, catchment)
        if draw is None:
            draw = offtake.capacity_m3s * use[day.month - 1] * allocation
            if flow_m3s[t] < offtake.cease_flow_m3s:
                draw = 0.0
        draws_m3s.append(min(draw, flow_m3s[t]))
    return draws_m3s


def night_fraction(latitude_deg: float, day: date) -> float:
    """The model page, section 5: h, from the sun's declination on that day of the year."""
    day_of_year = day.timetuple().tm_yday
    declination = 0.409 * sin(2 * pi * day_of_year / 365 - 1.39)
    argument = -tan(radians(latitude_deg)) * tan(declination)
    h = 1 - acos(max(-1.0, min(1.0, argument))) / pi
    return max(0.01, min(0.99, h))


def diel_factor(guild: Guild, offtake: Offtake, day: date) -> float:
    """The model page, section 5: drifting by night met with drawing by night."""
    n = guild.night_drift_share
    if n is None:
        return 1.0
    h = night_fraction(offtake.point[1], day)
    p = h if offtake.night_use_share is None else offtake.night_use_share
    return n * p / h + (1 - n) * (1 - p) / (1 - h)


def unscreened_share(
    guild: Guild, offtake: Offtake, day: date, draw_m3s: float, flow_m3s: float
) -> float:
    """The model page, section 5: min(1, kappa q / Q), what a bare intake would take of those
    passing.
    """
    if flow_m3s == 0 or draw_m3s == 0:
        return 0.0
    kappa = guild.encounter * offtake.position * diel_factor(guild, offtake, day)
    return min(1.0, kappa * draw_m3s / flow_m3s)


def drifter_efficacy(option_id: str, guild_id: str, catchment: Catchment) -> float:
    """The model page, section 6: share kept alive in the river; no screen or no row: 0."""
    found = catchment.efficacy.get((option_id, guild_id))
    return 0.0 if found is None else found.drifter


def resident_efficacy(option_id: str, guild_id: str, catchment: Catchment) -> float:
    """The model page, section 6: the same for residents."""
    found = catchment.efficacy.get((option_id, guild_id))
    return 0.0 if found is None else found.resident
