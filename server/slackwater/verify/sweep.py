"""What does the river have under many assignments at once, and what would a share more gain?

Sections 4 to 6 of the methods page. An assignment says what share each offtake's screen keeps
alive. All assignments and cohorts travel side by side in arrays (assignments, stages, cohorts),
reach by reach: heads down the river, worth up it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slackwater.verify.drift import chances, move, move_back
from slackwater.verify.guild_year import RELEASE, GuildYear, stops_of

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
MOST_HELD = 20_000_000  # numbers kept between the sweeps; cohorts are taken in parts beyond it


def answers(
    season: GuildYear, kept: Numbers, pairs: Sequence[tuple[int, int]]
) -> tuple[Numbers, Numbers]:
    """Ask one season for worth and for what keeping out a share more would gain.

    Parameters
    ----------
    kept : (assignments, offtakes) share kept alive, of this guild.
    pairs : (assignment upstream of the offtake, assignment downstream of it).

    Returns
    -------
    worth : (assignments,) settlers and outlet worth, by the sweep down.
    exposed : (pairs, offtakes) arrivals x share taken by a bare intake x worth just below.
    """
    worth, exposed = np.zeros(len(kept)), np.zeros((len(pairs), kept.shape[1]))
    cohorts = season.cohorts
    stages = int(season.of_guild("drift_stages"))
    part = max(16, MOST_HELD // max(1, kept.size * stages))
    for start in range(0, len(cohorts), part):
        sweep = _Sweep(season, kept, cohorts[start : start + part])
        arriving = sweep.down(worth)
        if pairs:
            sweep.up(arriving, pairs, exposed)
    return worth, exposed


class _Sweep:
    """Some cohorts of a season on their way."""

    def __init__(self, season: GuildYear, kept: Numbers, cohorts: Positions) -> None:
        self.season, self.kept, self.cohorts = season, kept, cohorts
        self.network = season.catchment.network
        self.stages = int(season.of_guild("drift_stages"))
        self.stops = stops_of(season.catchment)

    def down(self, worth: Numbers) -> dict[int, Numbers]:
        """Carry heads to the outlets; add what settles and leaves, as worth, to ``worth``.

        Returns
        -------
        offtake -> (assignments, stages, cohorts) arriving; offtakes nobody comes to are not in it.
        """
        season = self.season
        arriving: dict[int, Numbers] = {}
        entering: dict[int, Numbers] = {}
        outlet_value = season.of_guild("outlet_value")
        for reach in self.network.order:
            heads = entering.pop(reach, np.zeros((len(self.kept), self.stages, len(self.cohorts))))
            born = self._released(reach)
            if not born.any() and not heads.any():
                continue
            for stretch_m, offtake in self._way(reach):
                stay, settle = self._stretch(reach, stretch_m)
                worth += season.nursery[reach] * np.einsum("akc,kc->a", heads, settle)
                heads = move(heads, stay)
                if offtake == RELEASE:
                    heads[:, 0] += born
                elif offtake is not None:
                    arriving[offtake] = heads
                    heads = heads * self._pass(reach, offtake)
            heads = heads * self.network.weir_survival[season.guild, reach]
            shares = self._onward(reach)
            if not shares:
                worth += outlet_value * heads.sum(axis=(1, 2))
            for below, share in shares:
                entering[below] = entering.get(below, 0.0) + heads * share
        return arriving

    def up(
        self, arriving: dict[int, Numbers], pairs: Sequence[tuple[int, int]], exposed: Numbers
    ) -> None:
        """Carry worth to the sources; add to ``exposed`` what each pair of sweeps meets."""
        season = self.season
        top: dict[int, Numbers] = {}
        shape = (len(self.kept), self.stages, len(self.cohorts))
        above, below = [a for a, _ in pairs], [b for _, b in pairs]
        for reach in self.network.order[::-1]:
            shares = self._onward(reach)
            value = np.full(shape, 0.0 if shares else season.of_guild("outlet_value"))
            for target, share in shares:
                value += top[target] * share
            value *= self.network.weir_survival[season.guild, reach]
            for stretch_m, offtake in reversed(self._way(reach)):
                if offtake is not None and offtake in arriving:
                    bare = season.bare_share[offtake, self._day(reach)]
                    met = np.einsum("pkc,pkc->pc", arriving[offtake][above], value[below])
                    exposed[:, offtake] += met @ bare
                if offtake is not None and offtake != RELEASE:
                    value = value * self._pass(reach, offtake)
                stay, settle = self._stretch(reach, stretch_m)
                value = move_back(value, stay) + season.nursery[reach] * settle
            top[reach] = value

    def _day(self, reach: int) -> Positions:
        """(cohorts,) calendar day each cohort meets in a reach, held within the season-year."""
        days = len(self.season.water.dates)
        day: Positions = np.clip(self.cohorts - self.season.lag_days[reach], 0, days - 1)
        return day

    def _released(self, reach: int) -> Numbers:
        """(cohorts,) heads released in a reach into each cohort."""
        day = self.cohorts - self.season.lag_days[reach]
        share = self.season.day_share[self.season.water.gauge[reach]]
        within = (day >= 0) & (day < len(share))
        born: Numbers = self.season.production[reach] * np.where(within, share[self._day(reach)], 0)
        return born

    def _way(self, reach: int) -> list[tuple[float, int | None]]:
        """Stretches down a reach and what stands at the end of each: offtake, release, nothing."""
        way: list[tuple[float, int | None]] = []
        at_m = 0.0
        for stop_m, offtake in self.stops[reach]:
            way.append((stop_m - at_m, offtake))
            at_m = stop_m
        return [*way, (max(0.0, float(self.season.catchment.length_m[reach]) - at_m), None)]

    def _stretch(self, reach: int, stretch_m: float) -> tuple[Numbers, Numbers]:
        """Chances over a stretch, (stages, cohorts) each; see `drift.chances`."""
        season = self.season
        tau_days = season.water.days_a_metre[reach, self._day(reach)] * (
            stretch_m / season.of_guild("drift_speed_ratio")
        )
        return chances(
            tau_days,
            self.stages,
            season.of_guild("drift_days"),
            season.of_guild("mortality_per_day"),
        )

    def _pass(self, reach: int, offtake: int) -> Numbers:
        """(assignments, 1, cohorts) share of those arriving that an offtake leaves in the river."""
        bare = self.season.bare_share[offtake, self._day(reach)]
        left: Numbers = 1 - (1 - self.kept[:, offtake])[:, None, None] * bare
        return left

    def _onward(self, reach: int) -> list[tuple[int, Numbers]]:
        """(reach below, (cohorts,) share that enters it); dry arms leave theirs to the others."""
        arms = range(self.network.first_arm[reach], self.network.first_arm[reach + 1])
        flow_m3s = self.season.water.flow_m3s
        targets = [int(self.network.arm_reach[arm]) for arm in arms]
        wet = [
            self.network.arm_share[arm] * (flow_m3s[target, self._day(target)] > 0)
            for arm, target in zip(arms, targets, strict=True)
        ]
        total = np.sum(wet, axis=0)
        return [
            (target, np.divide(share, total, out=np.zeros(len(share)), where=total > 0))
            for target, share in zip(targets, wet, strict=True)
        ]
