"""A catchment's river, prepared once and evaluated for any screens at any offtakes.

`prepare` works out flow, season, travel, lags and draw of every guild and season-year; what then
varies is how much of what each offtake takes is kept out. An option acts through the share taken
alone, so a `River` answers for any assignment, many at a time.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.progress import Progress
from slackwater.river.blocks import exposed_block, full_block, worth_block
from slackwater.river.kernel import Conditions
from slackwater.river.layout import Layout, lay_out
from slackwater.river.overlap import overlap_coefficient
from slackwater.river.passers import Passers, remembered, within
from slackwater.river.seasons import Season, conditions_of, season_of
from slackwater.river.taking import Draw, draw_of_year
from slackwater.river.travel import Pace, pace_of

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
U = TypeVar("U")
R = TypeVar("R")
KEPT_BYTES = 1 << 30
REMEMBERED_BYTES = 1 << 25


@dataclass(frozen=True)
class Measured:
    """What one assignment of screens does; heads and worth of each guild, year and offtake.

    Attributes
    ----------
    taken : (guilds, years, offtakes) heads taken.
    exposed : (guilds, years, offtakes) worth just below of those that would be taken without any
        screen; keeping out a share more gains that share of it.
    meeting : (guilds, years, offtakes) worth just below of all those arriving.
    overlap : (guilds, years, offtakes) overlap of draw and passing drifters, NaN without either.
    balance : (guilds, years, 5) heads produced, settled, died, stranded, left.
    worth : (guilds, years) settlers and outlet worth the river has.
    passers : those who passed each offtake by day, one each of the river's seasons; none where they
        would fill the memory (`slackwater.river.passing` works one offtake's out again).
    """

    taken: Numbers
    exposed: Numbers
    meeting: Numbers
    overlap: Numbers
    balance: Numbers
    worth: Numbers
    passers: tuple[Passers, ...] = ()


@dataclass(frozen=True)
class River:
    """Everything about the river that does not depend on the screens."""

    catchment: Catchment
    layout: Layout
    pace: Pace
    draws: tuple[Draw, ...]
    seasons: tuple[Season, ...]
    nursery: Numbers  # (guilds, reaches)
    births: Numbers  # (guilds, reaches)
    _kept: dict[int, Conditions] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    @property
    def shape(self) -> tuple[int, int, int]:
        """Counts of guilds, season-years and offtakes."""
        return len(self.births), len(self.draws), len(self.catchment.reach_index)

    def conditions(self, position: int) -> Conditions:
        """Give what the kernels read for one season; kept while all seasons fit in memory."""
        if position in self._kept:
            return self._kept[position]
        season = self.seasons[position]
        made = conditions_of(
            self.catchment,
            self.layout,
            self.pace,
            season,
            self.draws[season.year],
            self.births[season.guild],
            self.nursery[season.guild],
        )
        if made.taken_share.nbytes * len(self.seasons) <= KEPT_BYTES:
            self._kept[position] = made
        return made

    def measure(self, keeps_out: Numbers, progress: Progress | None = None) -> Measured:
        """Evaluate one assignment in full.

        Parameters
        ----------
        keeps_out : (guilds, offtakes) share each offtake's screen keeps alive in the river.
        """
        guilds, years, offtakes = self.shape
        taken, exposed, meeting = (np.zeros(self.shape) for _ in range(3))
        overlap = np.full(self.shape, np.nan)
        balance, worth = np.zeros((guilds, years, 5)), np.zeros((guilds, years))
        passing = {
            i: np.zeros((offtakes, s.day_share.shape[1])) for i, s in enumerate(self.seasons)
        }
        units = [(i, block) for i, s in enumerate(self.seasons) for block in s.blocks]
        rows = np.arange(offtakes)[:, None]

        def work(unit: tuple[int, Positions]) -> tuple[Numbers, ...]:
            return full_block(
                self.layout, self.conditions(unit[0]), self._in_order(unit[0], keeps_out), unit[1]
            )

        for (i, cohorts), result in zip(units, self._run(work, units, progress), strict=True):
            at = self.seasons[i].guild, self.seasons[i].year
            block_taken, arrived, block_counted, block_exposed, block_meeting, reach = result
            taken[at] += block_taken
            exposed[at] += block_exposed
            meeting[at] += block_meeting
            balance[at] += block_counted
            worth[at] += reach.sum()
            np.add.at(passing[i], (rows, self._days_met(i, cohorts)), arrived)
        order = self.layout.offtake_of
        for i, season in enumerate(self.seasons):
            at = season.guild, season.year
            draw = self.draws[season.year].draw_m3s[order]
            overlap[at][order] = overlap_coefficient(draw, passing[i])
        for array in (taken, exposed, meeting):
            array[..., order] = array.copy()
        passers = within([remembered(each, order) for each in passing.values()], REMEMBERED_BYTES)
        return Measured(taken, exposed, meeting, overlap, balance, worth, passers)

    def worth(self, keeps_out: Numbers, progress: Progress | None = None) -> Numbers:
        """Give the worth the river has under each of many assignments.

        Parameters
        ----------
        keeps_out : (assignments, guilds, offtakes).

        Returns
        -------
        (assignments, guilds, years).
        """
        guilds, years, _ = self.shape
        total = np.zeros((len(keeps_out), guilds, years))
        units = [
            (a, i, block)
            for a in range(len(keeps_out))
            for i, season in enumerate(self.seasons)
            for block in season.blocks
        ]

        def work(unit: tuple[int, int, Positions]) -> float:
            assignment, i, block = unit
            kept = self._in_order(i, keeps_out[assignment])
            return worth_block(self.layout, self.conditions(i), kept, block)

        for (a, i, _), gained in zip(units, self._run(work, units, progress), strict=True):
            total[a, self.seasons[i].guild, self.seasons[i].year] += gained
        return total

    def exposed(
        self, keeps_above: Numbers, keeps_below: Numbers, progress: Progress | None = None
    ) -> Numbers:
        """Give what a share more kept out at each offtake gains, other screens as given.

        Telescopes a whole batch of installs, taken in the order the water runs, with two sweeps.

        Parameters
        ----------
        keeps_above, keeps_below : (guilds, offtakes) share kept out by the screens upstream of
            each offtake, and by those downstream of it.

        Returns
        -------
        (guilds, years, offtakes).
        """
        total = np.zeros(self.shape)
        units = [(i, block) for i, season in enumerate(self.seasons) for block in season.blocks]

        def work(unit: tuple[int, Positions]) -> Numbers:
            above, below = (self._in_order(unit[0], keeps) for keeps in (keeps_above, keeps_below))
            return exposed_block(self.layout, self.conditions(unit[0]), above, below, unit[1])

        for (i, _), block_exposed in zip(units, self._run(work, units, progress), strict=True):
            total[self.seasons[i].guild, self.seasons[i].year] += block_exposed
        total[..., self.layout.offtake_of] = total.copy()
        return total

    def _in_order(self, position: int, keeps_out: Numbers) -> Numbers:
        """(o,) share kept out of the guild of a season, in sweep order, of (guilds, offtakes)."""
        return keeps_out[self.seasons[position].guild][self.layout.offtake_of]

    def _days_met(self, position: int, cohorts: Positions) -> Positions:
        """(o, LANES) calendar day each cohort passes each offtake, held within the season-year."""
        season, order = self.seasons[position], self.layout.offtake_of
        lag = season.lag_days[self.catchment.reach_index[order]]
        days: Positions = np.clip(cohorts[None, :] - lag[:, None], 0, season.day_share.shape[1] - 1)
        return days

    def _run(
        self, work: Callable[[U], R], units: Sequence[U], progress: Progress | None
    ) -> Iterator[R]:
        """Run units on all cores, giving results in the order of the units."""
        progress = progress or Progress()
        progress.expect(len(units))

        def counted(unit: U) -> R:
            result = work(unit)
            progress.advance()
            return result

        with ThreadPoolExecutor(os.cpu_count()) as pool:
            try:
                yield from pool.map(counted, units)
            except BaseException:
                pool.shutdown(wait=True, cancel_futures=True)
                raise


def prepare(catchment: Catchment) -> River:
    """Work out everything about the river that does not depend on the screens."""
    pace = pace_of(catchment)
    nursery, births = _by_guild_and_reach(catchment)
    years = range(len(catchment.records.years))
    return River(
        catchment=catchment,
        layout=lay_out(
            catchment.network,
            catchment.length_m,
            catchment.reach_index,
            catchment.chainage_m,
            catchment.table("offtakes").keys,
        ),
        pace=pace,
        draws=tuple(draw_of_year(catchment, pace.gauge, year) for year in years),
        seasons=tuple(
            season_of(catchment, pace, births[guild], guild, year)
            for guild in range(len(births))
            for year in years
        ),
        nursery=nursery,
        births=births,
    )


def _by_guild_and_reach(catchment: Catchment) -> tuple[Numbers, Numbers]:
    """Nursery worth and births as (guilds, reaches)."""
    reaches, guilds = catchment.table("reaches"), catchment.table("guilds")
    production = catchment.table("production")
    nursery = np.tile(reaches.number("nursery"), (len(guilds), 1))
    births = np.zeros_like(nursery)
    reach = np.array([reaches.index[r] for r in production.text("reach_id")], np.int64)
    guild = np.array([guilds.index[g] for g in production.text("guild_id")], np.int64)
    births[guild, reach] = production.number("production")
    own = ~np.isnan(production.number("nursery"))
    nursery[guild[own], reach[own]] = production.number("nursery")[own]
    return nursery, births
