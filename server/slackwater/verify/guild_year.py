"""One guild in one season-year: when it spawns, how long it travels, what each intake takes of it.

Sections 2 to 5 of the methods page, gathered for the sweeps.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.season import day_shares
from slackwater.verify.taking import bare_share
from slackwater.verify.water import Water, lags_days

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
RELEASE = -1


@dataclass(frozen=True)
class GuildYear:
    """What one guild meets in one season-year.

    Attributes
    ----------
    production, nursery : (reaches,) of the guild.
    day_share : (gauges, days) share of a full season that starts each day.
    lag_days : (reaches,).
    bare_share : (offtakes, days) taken without any screen.
    """

    catchment: Catchment
    water: Water
    guild: int
    production: Numbers
    nursery: Numbers
    day_share: Numbers
    lag_days: Positions
    bare_share: Numbers

    def of_guild(self, column: str) -> float:
        """Give a number of the guild."""
        return float(self.catchment.table("guilds").number(column)[self.guild])

    @property
    def cohorts(self) -> Positions:
        """(cohorts,) every cohort into which anything is released, ascending."""
        released = (self.production[:, None] > 0) & (self.day_share[self.water.gauge] > 0)
        reach, day = np.nonzero(released)
        return np.unique(day + self.lag_days[reach])

    @property
    def produced(self) -> float:
        """Heads released over the season-year."""
        return float(self.production @ self.day_share[self.water.gauge].sum(axis=1))


def guild_years(catchment: Catchment, water: Water, drawn_m3s: Numbers) -> Iterator[GuildYear]:
    """Give every guild in one season-year.

    Parameters
    ----------
    drawn_m3s : (offtakes, days) of that season-year.
    """
    for guild, (production, nursery) in enumerate(_production_and_nursery(catchment)):
        shares = day_shares(catchment, guild, water.year)
        yield GuildYear(
            catchment=catchment,
            water=water,
            guild=guild,
            production=production,
            nursery=nursery,
            day_share=shares,
            lag_days=lags_days(catchment, water, guild, production, shares),
            bare_share=bare_share(catchment, water, guild, drawn_m3s),
        )


def _production_and_nursery(catchment: Catchment) -> Iterator[tuple[Numbers, Numbers]]:
    """Give production and nursery worth, (reaches,) each, guild by guild."""
    reaches, production = catchment.table("reaches"), catchment.table("production")
    for guild_id in catchment.table("guilds").keys:
        births = np.zeros(len(reaches))
        nursery = reaches.number("nursery").copy()
        for row in np.flatnonzero(production.text("guild_id") == guild_id):
            reach = reaches.index[str(production.text("reach_id")[row])]
            births[reach] = production.number("production")[row]
            own = production.number("nursery")[row]
            nursery[reach] = nursery[reach] if np.isnan(own) else own
        yield births, nursery


def stops_of(catchment: Catchment) -> list[list[tuple[float, int]]]:
    """For each reach (chainage, offtake) and its release, in the order they act.

    By chainage, an offtake at mid-length before the release there, offtakes at one place by id.
    """
    ids = catchment.table("offtakes").keys
    found: list[list[tuple[float, bool, str, int]]] = [
        [(float(length_m) / 2, True, "", RELEASE)] for length_m in catchment.length_m
    ]
    for offtake, reach in enumerate(catchment.reach_index):
        at_m = float(catchment.chainage_m[offtake])
        found[int(reach)].append((at_m, False, ids[offtake], offtake))
    return [[(at_m, offtake) for at_m, _, _, offtake in sorted(stops)] for stops in found]
