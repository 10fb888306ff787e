"""Whole rivers as absorbing chains: one sparse linear system a cohort, solved by scipy.

Each place (upper end, offtake, release, lower end of a reach) and stage is a state. The system is
set up here from the tables alone, with the server's lags and shares taken, and stretches by the
matrix exponential of the stage rates; none of the kernels is used.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm
from scipy.sparse import csc_matrix, eye_array
from scipy.sparse.linalg import splu

from slackwater.river.river import River, prepare
from slackwater.river.seasons import Season
from slackwater.river.taking import taken_share
from tests.random_rivers import random_river, random_screens

SEEDS = st.integers(0, 10_000)
SECONDS_A_DAY = 86400.0


@dataclass
class Chain:
    """One cohort's chain, filled place by place."""

    k: int
    steps: list[tuple[int, int, float]] = field(default_factory=list)
    reward: dict[int, float] = field(default_factory=dict)
    births: dict[int, float] = field(default_factory=dict)
    taken: dict[int, tuple[int, float]] = field(default_factory=dict)  # state -> offtake, share
    states: int = 0

    def new_place(self) -> int:
        """Give the first state (stage 0) of a new place."""
        self.states += self.k
        return self.states - self.k

    def step(self, origin: int, target: int, share: float) -> None:
        """Let a share of every stage go on as it is."""
        self.steps += [(origin + a, target + a, share) for a in range(self.k)]

    def solve(self, offtakes: int) -> tuple[np.ndarray, float]:
        """Give heads taken by each offtake and the worth of all births."""
        rows, columns, shares = zip(*self.steps, strict=True)
        moving = csc_matrix((shares, (rows, columns)), shape=(self.states, self.states))
        factored = splu(csc_matrix(eye_array(self.states) - moving))
        births, reward = np.zeros(self.states), np.zeros(self.states)
        births[list(self.births)] = list(self.births.values())
        reward[list(self.reward)] = list(self.reward.values())
        visits, worth = factored.solve(births, "T"), factored.solve(reward)
        taken = np.zeros(offtakes)
        for state, (offtake, share) in self.taken.items():
            taken[offtake] += visits[state] * share
        return taken, float(births @ worth)


@cache
def moved_over(k: int, settling: float, dying: float, travel_days: float) -> np.ndarray:
    """(k + 1, k + 1) probabilities among the stages and settled over a stretch."""
    rates = np.zeros((k + 1, k + 1))
    for a in range(k):
        rates[a, a + 1] = settling
        rates[a, a] = -settling - dying
    return expm(rates * travel_days)


def chain_of(river: River, season: Season, cohort: int, keeps_out: np.ndarray) -> Chain:
    """Set up the chain of one cohort."""
    catchment, records = river.catchment, river.catchment.records
    reaches, guilds = catchment.table("reaches"), catchment.table("guilds")
    offtakes, network = catchment.table("offtakes"), catchment.network

    def of_guild(column: str) -> float:
        return float(guilds.number(column)[season.guild])

    k = int(of_guild("drift_stages"))
    settling, dying = k / of_guild("drift_days"), of_guild("mortality_per_day")
    first, days = int(records.year_first[season.year]), int(records.year_days[season.year])
    gauge_at = catchment.table("gauges").index
    gauge = [gauge_at[name] for name in reaches.text("gauge_id")]
    e = taken_share(
        river.draws[season.year], of_guild("encounter"), offtakes.number("position"),
        of_guild("night_drift_share"), offtakes.number("night_use_share"),
    )  # fmt: skip

    def day_of(reach: int) -> int:
        return int(np.clip(cohort - season.lag_days[reach], 0, days - 1))

    def flow_of(reach: int) -> float:
        return float(
            catchment.flow_scale[reach] * records.flow_m3s[gauge[reach], first + day_of(reach)]
        )

    chain = Chain(k)
    top = [chain.new_place() for _ in reaches.keys]
    for reach in range(len(top)):
        length = float(catchment.length_m[reach])
        flow = flow_of(reach)
        velocity = catchment.velocity_coef[reach] * flow ** reaches.number("velocity_exp")[reach]
        pace = 1 / (SECONDS_A_DAY * velocity * of_guild("drift_speed_ratio")) if flow > 0 else 0.0
        stops = sorted(
            [(float(catchment.chainage_m[i]), 0, offtakes.keys[i], i)
             for i in np.flatnonzero(catchment.reach_index == reach)] + [(length / 2, 1, "", -1)]
        )  # fmt: skip
        at, place = 0.0, top[reach]
        for chainage, _, _, offtake in [*stops, (length, 2, "", -2)]:
            moved = moved_over(k, settling, dying, pace * (chainage - at))
            arrived = chain.new_place()
            for a in range(k):
                chain.reward[place + a] = moved[a, k] * river.nursery[season.guild, reach]
                chain.steps += [(place + a, arrived + b, moved[a, b]) for b in range(a, k)]
            at, place = chainage, arrived
            if offtake == -1:  # the release joins those that arrive
                born_on = cohort - int(season.lag_days[reach])
                if 0 <= born_on < days:
                    share = season.day_share[gauge[reach], born_on]
                    chain.births[place] = river.births[season.guild, reach] * share
            elif offtake >= 0:
                share = e[offtake, day_of(reach)] * (1 - keeps_out[season.guild, offtake])
                beyond = chain.new_place()
                chain.step(place, beyond, 1 - share)
                chain.taken |= {place + a: (offtake, share) for a in range(k)}
                place = beyond
        survival = network.weir_survival[season.guild, reach]
        arms = range(network.first_arm[reach], network.first_arm[reach + 1])
        running = {a: network.arm_share[a] for a in arms if flow_of(network.arm_reach[a]) > 0}
        for a, share in running.items():
            chain.step(place, top[network.arm_reach[a]], survival * share / sum(running.values()))
        if not arms:
            chain.reward |= {place + a: survival * of_guild("outlet_value") for a in range(k)}
    return chain


def assert_sweeps_solve_the_chains(seed: int, *, constant: bool) -> None:
    """Sum the chains of all cohorts and compare with the server's sweeps."""
    river = prepare(random_river(seed, constant=constant))
    guilds, years, offtakes = river.shape
    keeps_out = random_screens(seed, (guilds, offtakes))
    measured = river.measure(keeps_out)
    taken, worth = np.zeros((guilds, years, offtakes)), np.zeros((guilds, years))
    for season in river.seasons:
        reach_of_gauge = river.pace.gauge
        released = {
            int(day + season.lag_days[reach])
            for reach in range(len(reach_of_gauge))
            for day in np.flatnonzero(season.day_share[reach_of_gauge[reach]])
        }
        for cohort in sorted(released):
            of_cohort = chain_of(river, season, cohort, keeps_out).solve(offtakes)
            taken[season.guild, season.year] += of_cohort[0]
            worth[season.guild, season.year] += of_cohort[1]
    assert measured.taken == pytest.approx(taken, rel=1e-9, abs=1e-12 * max(1.0, taken.max()))
    assert measured.worth == pytest.approx(worth, rel=1e-9)


@settings(max_examples=3)
@given(SEEDS)
def test_a_steady_river_is_an_absorbing_chain(seed: int) -> None:
    """With constant flow, heads taken and worth are what the linear system of the chain gives."""
    assert_sweeps_solve_the_chains(seed, constant=True)


@settings(max_examples=2)
@given(SEEDS)
def test_each_cohort_of_a_changing_river_is_an_absorbing_chain(seed: int) -> None:
    """With flow, draw and dry spells changing by day, each cohort's sweep is such a system too."""
    assert_sweeps_solve_the_chains(seed, constant=False)
