"""One season-year of the river, and one guild's spawning and lags in it: the model page, sections 2
to 4.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from math import exp, floor

from .drift import Stretch, drift_over
from .network import Network, build_network
from .records import GaugeRecord, flow_scale_of, gauge_records, travel_days, velocity_coef_of
from .season import complete_years, day_shares, days_of_season, season_start_month
from .tables import Catchment, Guild
from .taking import draws_of_year, unscreened_share


@dataclass(frozen=True)
class River:
    catchment: Catchment
    network: Network
    records: dict[str, GaugeRecord]
    start_month: int
    years: list[int]


@dataclass(frozen=True)
class RiverYear:
    """Flow and speed by reach, draw by offtake, each a list over the days of the season-year."""

    river: River
    year: int
    days: list[date]
    flow_m3s: dict[str, list[float]]
    speed_ms: dict[str, list[float]]
    draw_m3s: dict[str, list[float]]

    def held(self, t: int) -> int:
        """The model page, section 4: a day before the first is the first, one after the last is the
        last.
        """
        return max(0, min(len(self.days) - 1, t))


@dataclass
class GuildYear:
    """What one guild does in one season-year."""

    guild: Guild
    river_year: RiverYear
    released: dict[str, list[float]]  # heads by reach and day
    lag_days: dict[str, int]
    stretches: dict[tuple[float, float], Stretch] = field(default_factory=dict)
    shares: dict[tuple[str, int], float] = field(default_factory=dict)

    def day_met(self, cohort: int, reach_id: str) -> int:
        """The model page, section 4: cohort c meets in reach j the day c - lag_j, held within the
        season-year.
        """
        return self.river_year.held(cohort - self.lag_days[reach_id])

    def released_into(self, cohort: int, reach_id: str) -> float:
        """The model page, section 4: drifters released in j on day t belong to cohort t + lag_j."""
        t = cohort - self.lag_days[reach_id]
        return self.released[reach_id][t] if 0 <= t < len(self.river_year.days) else 0.0

    def cohorts(self) -> list[int]:
        """The model page, section 4: the cohorts with a release somewhere (the others carry
        nobody).
        """
        found = set()
        for reach_id, heads in self.released.items():
            for t, released in enumerate(heads):
                if released > 0:
                    found.add(t + self.lag_days[reach_id])
        return sorted(found)

    def stretch(self, reach_id: str, t: int, length_m: float) -> Stretch:
        """The model page, section 4: the passage of a length of the reach in the flow of day t."""
        key = (length_m, self.river_year.speed_ms[reach_id][t])
        if key not in self.stretches:
            tau_days = travel_days(length_m, key[1], self.guild.drift_speed_ratio)
            self.stretches[key] = drift_over(self.guild, tau_days)
        return self.stretches[key]

    def unscreened(self, offtake_id: str, t: int) -> float:
        """The model page, section 5: what the bare intake would take on day t."""
        if (offtake_id, t) not in self.shares:
            year = self.river_year
            self.shares[(offtake_id, t)] = unscreened_share(
                self.guild,
                year.river.catchment.offtakes[offtake_id],
                year.days[t],
                year.draw_m3s[offtake_id][t],
                year.flow_m3s[year.river.network.reach_of[offtake_id]][t],
            )
        return self.shares[(offtake_id, t)]

    def nursery(self, reach_id: str) -> float:
        """The model page, section 4: the production row's nursery, else the reach's."""
        catchment = self.river_year.river.catchment
        row = catchment.production.get((reach_id, self.guild.guild_id))
        if row is not None and row.nursery is not None:
            return row.nursery
        return catchment.reaches[reach_id].nursery


def prepare_river(catchment: Catchment) -> River:
    """The model page, sections 1 to 3: network, records and the complete season-years."""
    records = gauge_records(catchment)
    start_month = season_start_month(catchment)
    return River(
        catchment,
        build_network(catchment),
        records,
        start_month,
        complete_years(records, start_month),
    )


def prepare_year(river: River, year: int) -> RiverYear:
    """The model page, sections 2 and 5: flow, speed and draw on each day of a season-year."""
    catchment, days = river.catchment, days_of_season(year, river.start_month)
    flow_m3s: dict[str, list[float]] = {}
    speed_ms: dict[str, list[float]] = {}
    for reach in catchment.reaches.values():
        record = river.records[reach.gauge_id]
        scale = flow_scale_of(reach, catchment)
        coef = velocity_coef_of(reach, scale, record)
        flow_m3s[reach.reach_id] = [scale * record.flow_m3s[day] for day in days]
        speed_ms[reach.reach_id] = [coef * q**reach.velocity_exp for q in flow_m3s[reach.reach_id]]
    draw_m3s = {
        i: draws_of_year(offtake, days, year, flow_m3s[river.network.reach_of[i]], catchment)
        for i, offtake in catchment.offtakes.items()
    }
    return RiverYear(river, year, days, flow_m3s, speed_ms, draw_m3s)


def prepare_guild_year(guild: Guild, year: RiverYear) -> GuildYear:
    """The model page, sections 3 and 4: releases by reach and day, and the lags that follow from
    them.
    """
    river, catchment = year.river, year.river.catchment
    share_at = {
        gauge_id: day_shares(guild, record, year.year, river.start_month)
        for gauge_id, record in river.records.items()
    }
    released: dict[str, list[float]] = {}
    for reach in catchment.reaches.values():
        row = catchment.production.get((reach.reach_id, guild.guild_id))
        heads = 0.0 if row is None else row.drifters
        released[reach.reach_id] = [heads * share for share in share_at[reach.gauge_id]]
    return GuildYear(guild, year, released, lags_days(guild, year, released))


def lags_days(guild: Guild, year: RiverYear, released: dict[str, list[float]]) -> dict[str, int]:
    """The model page, section 2, *Lag*: whole days from the mid-length of each
    reach to the outlet.
    """
    network, kept = year.river.network, exp(-(1 / guild.drift_days + guild.mortality_per_day))
    drifting: list[float] = []
    for t in range(len(year.days)):
        before = drifting[-1] if drifting else 0.0
        drifting.append(sum(heads[t] for heads in released.values()) + kept * before)
    through_days: dict[str, float] = {}
    for reach_id in network.order:
        weighted, total = 0.0, 0.0
        for t, heads in enumerate(drifting):
            if year.flow_m3s[reach_id][t] > 0:
                speed = year.speed_ms[reach_id][t]
                weighted += heads * travel_days(
                    network.length_m[reach_id], speed, guild.drift_speed_ratio
                )
                total += heads
        through_days[reach_id] = weighted / total if total > 0 else 0.0
    below_days: dict[str, float] = {}
    lag_days: dict[str, int] = {}
    for reach_id in reversed(network.order):
        below_days[reach_id] = sum(
            share * (below_days[lower] + through_days[lower])
            for lower, share in network.below[reach_id]
        )
        lag_days[reach_id] = floor(below_days[reach_id] + through_days[reach_id] / 2 + 0.5 + 1e-6)
    return lag_days
