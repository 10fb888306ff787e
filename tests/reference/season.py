"""When a season-year runs, and how well each of its days suits a guild: the
model page, section 3.
"""

from __future__ import annotations

from datetime import date, timedelta

from .records import DAY, GaugeRecord, temperature_on
from .tables import Catchment, Guild

OPEN = float("inf")


def season_start_month(catchment: Catchment) -> int:
    """The model page, section 3: as set, else July where the offtakes' mean latitude is below 0,
    else January.
    """
    if catchment.settings.season_start_month is not None:
        return catchment.settings.season_start_month
    latitudes = [offtake.point[1] for offtake in catchment.offtakes.values()]
    return 7 if sum(latitudes) / len(latitudes) < 0 else 1


def days_of_season(year: int, start_month: int) -> list[date]:
    """The model page, section 3: the season-year named by the calendar year it starts in."""
    first, following = date(year, start_month, 1), date(year + 1, start_month, 1)
    return [first + step * DAY for step in range((following - first).days)]


def complete_years(records: dict[str, GaugeRecord], start_month: int) -> list[int]:
    """The model page, section 3: years in which every gauge in use has all
    days, short gaps filled.
    """
    known_days = [day for record in records.values() for day in record.flow_m3s]
    years = []
    for year in range(min(known_days).year - 1, max(known_days).year + 1):
        days = days_of_season(year, start_month)
        if all(day in record.flow_m3s for record in records.values() for day in days):
            years.append(year)
    return years


def corner_date(month_day: str, year: int, start_month: int) -> date:
    """The model page, section 3: a corner's date in the season-year; 02-29 is 02-28 in a common
    year.
    """
    month, of_month = int(month_day[:2]), int(month_day[3:])
    calendar_year = year if month >= start_month else year + 1
    if (month, of_month) == (2, 29):
        try:
            return date(calendar_year, 2, 29)
        except ValueError:
            return date(calendar_year, 2, 28)
    return date(calendar_year, month, of_month)


def trapezoid(x: float, start: float, full: float, easing: float, end: float) -> float:
    """The model page, section 3: 1 from full to easing inclusive, linear ramps beside them, 0
    outside.
    """
    if full <= x <= easing:
        return 1.0
    if x <= start or x >= end:
        return 0.0
    if x < full:
        return (x - start) / (full - start)
    return (end - x) / (end - easing)


def window_on(day: date, guild: Guild, year: int, start_month: int) -> float:
    """The model page, section 3, `window`."""
    start, full, easing, end = (
        corner_date(corner, year, start_month).toordinal() for corner in guild.window
    )
    return trapezoid(day.toordinal(), start, full, easing, end)


def warmth_on(day: date, guild: Guild, record: GaugeRecord) -> float:
    """The model page, section 3, `warmth`: both of a pair empty leaves that side open; one empty
    equals the other.
    """
    temperature_c = temperature_on(day, record)
    if temperature_c is None:
        return 1.0
    least, full, easing, most = guild.temperatures_c
    if least is None and full is None:
        least, full = -OPEN, -OPEN
    if easing is None and most is None:
        easing, most = OPEN, OPEN
    least, full = (full if least is None else least), (least if full is None else full)
    easing, most = (most if easing is None else easing), (easing if most is None else most)
    assert least is not None
    assert full is not None
    assert easing is not None
    assert most is not None
    return trapezoid(temperature_c, least, full, easing, most)


def is_trigger(day: date, guild: Guild, record: GaugeRecord) -> bool:
    """The model page, section 3, `flow`: a rise above the mean of the recorded days among the 7
    before.
    """
    flow_m3s = record.flow_m3s.get(day, 0.0)
    before = [day - step * DAY for step in range(1, 8)]
    recorded = [record.recorded_m3s[d] for d in before if d in record.recorded_m3s]
    if flow_m3s <= 0 or not recorded:
        return False
    return flow_m3s >= guild.flow_trigger * (sum(recorded) / len(recorded))


def flow_cue_on(day: date, guild: Guild, record: GaugeRecord) -> float:
    """The model page, section 3, `flow`: 1 on a trigger day and the `trigger_days` days after one,
    else the floor.
    """
    if guild.flow_trigger <= 0:
        return 1.0
    for step in range(guild.trigger_days + 1):
        if is_trigger(day - timedelta(days=step), guild, record):
            return 1.0
    return guild.flow_floor


def suitability_on(
    day: date, guild: Guild, record: GaugeRecord, year: int, start_month: int
) -> float:
    """The model page, section 3: phi = window x warmth x flow, 0 on a day whose flow is 0."""
    if record.flow_m3s[day] == 0:
        return 0.0
    window = window_on(day, guild, year, start_month)
    if window == 0:
        return 0.0
    return window * warmth_on(day, guild, record) * flow_cue_on(day, guild, record)


def day_shares(guild: Guild, record: GaugeRecord, year: int, start_month: int) -> list[float]:
    """The model page, section 3: s(t) = E phi(t) / sum phi, E = min(1, sum phi
    / full_season_days).
    """
    phi = [
        suitability_on(day, guild, record, year, start_month)
        for day in days_of_season(year, start_month)
    ]
    total = sum(phi)
    if total == 0:
        return [0.0 for _ in phi]
    effort = min(1.0, total / guild.full_season_days)
    return [effort * value / total for value in phi]
