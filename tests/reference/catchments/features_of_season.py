"""Which rules of records and seasons occur and matter: the model page, sections 2, 3 and 6."""

from __future__ import annotations

from datetime import date

from ..records import GaugeRecord
from ..scoring import Scored
from ..season import days_of_season, flow_cue_on, warmth_on, window_on
from ..tables import Guild
from .features_of_river import carrying_seasons

SpawningDay = tuple[Guild, GaugeRecord, date]


def spawning_days(scored: Scored) -> list[SpawningDay]:
    """Each guild, gauge and day with water within the guild's window, where the guild is released
    by that gauge.
    """
    river, found = scored.river, []
    for season in carrying_seasons(scored):
        g, year = season.guild.guild_id, season.river_year.year
        gauges = {
            river.catchment.reaches[r].gauge_id
            for (r, h), row in river.catchment.production.items()
            if h == g and row.drifters > 0
        }
        for gauge_id in gauges:
            record = river.records[gauge_id]
            for day in season.river_year.days:
                if (
                    record.flow_m3s[day] > 0
                    and window_on(day, season.guild, year, river.start_month) > 0
                ):
                    found.append((season.guild, record, day))
    return found


def gap(scored: Scored) -> bool:
    """A spawning day's flow was filled."""
    return any(day not in record.recorded_m3s for _, record, day in spawning_days(scored))


def trigger(scored: Scored) -> bool:
    """A guild has days with its cue and days without."""
    cues: dict[str, set[float]] = {}
    for guild, record, day in spawning_days(scored):
        cues.setdefault(guild.guild_id, set()).add(flow_cue_on(day, guild, record))
    return any(len(values) > 1 for values in cues.values())


def temperature_corner(scored: Scored) -> bool:
    """A spawning day is too cold or too warm to be full."""
    return any(warmth_on(day, guild, record) < 1 for guild, record, day in spawning_days(scored))


def has_corners(guild: Guild) -> bool:
    """Temperature counts for the guild."""
    return any(corner is not None for corner in guild.temperatures_c)


def temperature_gap(scored: Scored) -> bool:
    """A spawning day's temperature is the mean of other years', within a long gap, and counts."""
    for guild, record, day in spawning_days(scored):
        if has_corners(guild) and record.recorded_c and day not in record.water_temp_c:
            without = GaugeRecord({}, {}, {}, {})
            if warmth_on(day, guild, record) != warmth_on(day, guild, without):
                return True
    return False


def temperature_nowhere(scored: Scored) -> bool:
    """A spawning day has no temperature in any year, so that warmth is 1."""
    return any(
        has_corners(guild)
        and day not in record.water_temp_c
        and warmth_on(day, guild, record) == 1
        and no_other_year(day, record)
        for guild, record, day in spawning_days(scored)
    )


def no_other_year(day: date, record: GaugeRecord) -> bool:
    """No other calendar year has the temperature of that day."""
    of_month = 28 if (day.month, day.day) == (2, 29) else day.day
    return not any(
        (d.month, d.day) == (day.month, of_month) and d.year != day.year for d in record.recorded_c
    )


def leap_year(scored: Scored) -> bool:
    """Water is drawn on a 29th of February."""
    for result in scored.results.values():
        for t, day in enumerate(result.river_year.days):
            if (day.month, day.day) == (2, 29):
                return any(draws[t] > 0 for draws in result.river_year.draw_m3s.values())
    return False


def leap_corner(scored: Scored) -> bool:
    """A window's corner is 02-29 and a used year has none."""
    for season in carrying_seasons(scored):
        days = season.river_year.days
        if "02-29" in season.guild.window and not any((d.month, d.day) == (2, 29) for d in days):
            return True
    return False


def northern(scored: Scored) -> bool:
    """The season starts in January by default."""
    return (
        scored.river.catchment.settings.season_start_month is None and scored.river.start_month == 1
    )


def southern(scored: Scored) -> bool:
    """The season starts in July by default."""
    return (
        scored.river.catchment.settings.season_start_month is None and scored.river.start_month == 7
    )


def set_start_month(scored: Scored) -> bool:
    """The season starts in a month of the settings."""
    return scored.river.catchment.settings.season_start_month is not None


def incomplete_year(scored: Scored) -> bool:
    """A season-year within every record is not used, for a long gap."""
    river = scored.river
    flows = [record.recorded_m3s for record in river.records.values()]
    first, last = max(min(flow) for flow in flows), min(max(flow) for flow in flows)
    for year in range(first.year - 1, last.year + 1):
        days = days_of_season(year, river.start_month)
        if first <= days[0] and days[-1] <= last and year not in river.years:
            return True
    return False


def year_weights(scored: Scored) -> bool:
    """Used years weigh differently."""
    weights = scored.river.catchment.settings.year_weights
    return len({weights.get(year, 1.0) for year in scored.river.years}) > 1


def effort_below_1(scored: Scored) -> bool:
    """A season falls short of a full one."""
    for season in carrying_seasons(scored):
        for reach_id, heads in season.released.items():
            row = scored.river.catchment.production.get((reach_id, season.guild.guild_id))
            if row is not None and row.drifters > 0 and 0 < sum(heads) < 0.999 * row.drifters:
                return True
    return False


def stages(scored: Scored) -> bool:
    """A drifting guild has more than one stage."""
    return any(season.guild.drift_stages > 1 for season in carrying_seasons(scored))
