"""One guild in one season-year: when it starts, how long it travels, which cohorts carry it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.river.kernel import LANES, Conditions
from slackwater.river.layout import Layout
from slackwater.river.season import day_shares, suitability
from slackwater.river.taking import Draw, taken_share
from slackwater.river.travel import Pace, drifting, lags_days

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
BEFORE_ANY_RELEASE = -(1 << 40)


@dataclass(frozen=True)
class Season:
    """One guild in one season-year.

    Attributes
    ----------
    guild, year : positions.
    day_share : (gauges, days) share of a full season that starts each day.
    lag_days : (reaches,) in the order of the reaches table.
    blocks : (blocks, LANES) cohorts into which anything is released, the last block padded.
    """

    guild: int
    year: int
    day_share: Numbers
    lag_days: Positions
    blocks: Positions


def _gauge_flow(catchment: Catchment, year: int) -> Numbers:
    """(gauges, days) flow of one season-year."""
    records = catchment.records
    first = int(records.year_first[year])
    return records.flow_m3s[:, first : first + int(records.year_days[year])]


def season_of(catchment: Catchment, pace: Pace, births: Numbers, guild: int, year: int) -> Season:
    """Work out one guild in one season-year; ``births`` is (reaches,)."""
    guilds = catchment.table("guilds")
    share = day_shares(
        suitability(catchment, guild, year), float(guilds.number("full_season_days")[guild])
    )
    born = np.bincount(pace.gauge, weights=births, minlength=len(share)) @ share
    leaving = 1.0 / guilds.number("drift_days")[guild] + guilds.number("mortality_per_day")[guild]
    lag = lags_days(
        catchment.network,
        pace,
        catchment.length_m,
        pace.slowness(_gauge_flow(catchment, year)),
        drifting(born, float(leaving)),
        float(guilds.number("drift_speed_ratio")[guild]),
    )
    return Season(guild, year, share, lag, _blocks(share, pace.gauge, lag, births))


def _blocks(share: Numbers, gauge: Positions, lag: Positions, births: Numbers) -> Positions:
    """(blocks, LANES) every cohort into which any reach releases, packed side by side."""
    spawning = births > 0
    pairs = np.unique(np.column_stack((gauge[spawning], lag[spawning])), axis=0)
    cohorts: set[int] = set()
    for at_gauge, days in pairs.tolist():
        cohorts.update((np.flatnonzero(share[at_gauge] > 0) + days).tolist())
    packed = np.full(-(-len(cohorts) // LANES) * LANES, BEFORE_ANY_RELEASE, np.int64)
    packed[: len(cohorts)] = sorted(cohorts)
    return packed.reshape(-1, LANES)


def conditions_of(
    catchment: Catchment,
    layout: Layout,
    pace: Pace,
    season: Season,
    draw: Draw,
    births: Numbers,
    nursery: Numbers,
) -> Conditions:
    """Gather one season for the kernels, in sweep order.

    Parameters
    ----------
    draw : of the season's year.
    births, nursery : (reaches,) of the season's guild.
    """
    guilds, offtakes = catchment.table("guilds"), catchment.table("offtakes")

    def of_guild(column: str) -> float:
        return float(guilds.number(column)[season.guild])

    settling = of_guild("drift_stages") / of_guild("drift_days")
    leaving = settling + of_guild("mortality_per_day")
    slowness = pace.slowness(_gauge_flow(catchment, season.year))
    taken = taken_share(
        draw,
        of_guild("encounter"),
        offtakes.number("position"),
        of_guild("night_drift_share"),
        offtakes.number("night_use_share"),
    )
    reach_of = layout.reach_of
    return Conditions(
        flow_class=pace.flow_class[reach_of],
        gauge=pace.gauge[reach_of],
        lag_days=season.lag_days[reach_of],
        pace=leaving * pace.slow_coef[reach_of] / of_guild("drift_speed_ratio"),
        slowness=slowness,
        dries=(slowness == 0).any(axis=1),
        births=births[reach_of],
        day_share=np.pad(season.day_share, ((0, 0), (1, 1))),
        taken_share=taken[layout.offtake_of],
        survival=catchment.network.weir_survival[season.guild][reach_of],
        nursery=nursery[reach_of],
        outlet_value=of_guild("outlet_value"),
        stages=int(of_guild("drift_stages")),
        ratio=settling / leaving,
    )
