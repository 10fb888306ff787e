"""What does the catchment give, in adults, under each of many assignments of screens?

Sections 5 and 6 of the methods page: every guild, season-year and cohort is swept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.guild_year import guild_years
from slackwater.verify.sweep import answers
from slackwater.verify.taking import ML_A_DAY, draw_m3s
from slackwater.verify.water import water_of

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class Asked:
    """Answers in adult equivalents.

    Attributes
    ----------
    adults_per_settler : (guilds,) guild weight included.
    year_share : (years,) weights of the season-years, summing to 1.
    worth_adults : (assignments, guilds, years).
    exposed_adults : (pairs, guilds, offtakes) gain of a share more kept alive, mean over years.
    residents_adults : (guilds, years, offtakes) in the water drawn, without any screen.
    cohorts, produced : (guilds, years).
    """

    adults_per_settler: Numbers
    year_share: Numbers
    worth_adults: Numbers
    exposed_adults: Numbers
    residents_adults: Numbers
    cohorts: Positions
    produced: Numbers

    def mean(self, by_season: Numbers) -> float:
        """Mean over years, all guilds together, of (guilds, years)."""
        return float((by_season @ self.year_share).sum())


def ask(catchment: Catchment, kept: Numbers, pairs: Sequence[tuple[int, int]]) -> Asked:
    """Sweep every season.

    Parameters
    ----------
    kept : (assignments, guilds, offtakes).
    pairs : as in `sweep.answers`.
    """
    guilds, years = catchment.table("guilds"), catchment.records.years
    adults = guilds.number("weight") * guilds.number("adult_per_settler")
    given = [catchment.settings.year_weights.get(int(year), 1.0) for year in years]
    share = np.array(given) / sum(given)
    worth = np.zeros((len(kept), len(guilds), len(years)))
    exposed = np.zeros((len(pairs), len(guilds), kept.shape[2]))
    residents = np.zeros((len(guilds), len(years), kept.shape[2]))
    cohorts, produced = np.zeros(worth.shape[1:], np.int64), np.zeros(worth.shape[1:])
    per_ml = (
        guilds.number("weight")
        * guilds.number("adult_per_resident")
        * guilds.number("resident_per_ml")
    )
    for year in range(len(years)):
        water = water_of(catchment, year)
        drawn = draw_m3s(catchment, water)
        volume_ml = drawn.sum(axis=1) * ML_A_DAY
        residents[:, year] = np.outer(
            per_ml, catchment.table("offtakes").number("position") * volume_ml
        )
        for season in guild_years(catchment, water, drawn):
            at = season.guild
            found, gained = answers(season, kept[:, at], pairs)
            worth[:, at, year] = adults[at] * found
            exposed[:, at] += share[year] * adults[at] * gained
            cohorts[at, year], produced[at, year] = len(season.cohorts), season.produced
    return Asked(adults, share, worth, exposed, residents, cohorts, produced)
