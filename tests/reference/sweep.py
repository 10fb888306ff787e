"""The drifters of one guild and season-year carried down the river, cohort by cohort: the model
page, sections 4, 5.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from .drift import Stretch
from .seasons import GuildYear


@dataclass
class Passing:
    """A cohort in front of an offtake, before taking: heads by stage."""

    cohort: int
    day_met: int
    heads: list[float]


@dataclass
class Outcome:
    """Where everybody ended, in heads."""

    produced: float = 0.0
    settled: dict[str, float] = field(default_factory=dict)  # by reach
    died: float = 0.0  # in the drift, at weirs, stranded
    died_at_weirs: float = 0.0
    stranded: float = 0.0
    taken: dict[str, float] = field(default_factory=dict)  # by offtake
    left: float = 0.0
    passing: dict[str, list[Passing]] = field(default_factory=dict)  # by offtake


def sweep_down(season: GuildYear, let_by: dict[str, float]) -> Outcome:
    """The model page, sections 4 and 5: every cohort from the upper ends to the outlets.

    `let_by` gives for each offtake the share of the unscreened taking that its screen does not
    prevent: 1 - eff, so that e = min(1, kappa q / Q) x let_by.
    """
    network = season.river_year.river.network
    outcome = Outcome()
    for reach_id in network.order:
        outcome.settled[reach_id] = 0.0
    for offtake_id in network.reach_of:
        outcome.taken[offtake_id] = 0.0
        outcome.passing[offtake_id] = []
    for cohort in season.cohorts():
        sweep_cohort(season, cohort, let_by, outcome)
    return outcome


def sweep_cohort(
    season: GuildYear, cohort: int, let_by: dict[str, float], outcome: Outcome
) -> None:
    """The model page, section 4: one steady sweep over time-shifted rows."""
    network, stages = season.river_year.river.network, season.guild.drift_stages
    entering = {reach_id: [0.0] * stages for reach_id in network.order}
    for reach_id in network.order:
        heads = entering[reach_id]
        if sum(heads) == 0 and season.released_into(cohort, reach_id) == 0:
            continue
        t = season.day_met(cohort, reach_id)
        at_m = 0.0
        for station in network.stations[reach_id]:
            heads = pass_stretch(
                heads, season.stretch(reach_id, t, station.chainage_m - at_m), reach_id, outcome
            )
            at_m = station.chainage_m
            if station.offtake_id is None:
                released = season.released_into(cohort, reach_id)
                outcome.produced += released
                heads[0] += released
            else:
                i = station.offtake_id
                outcome.passing[i].append(Passing(cohort, t, list(heads)))
                e = season.unscreened(i, t) * let_by[i]
                outcome.taken[i] += sum(heads) * e
                heads = [h * (1 - e) for h in heads]
        last_m = network.length_m[reach_id] - at_m
        heads = pass_stretch(heads, season.stretch(reach_id, t, last_m), reach_id, outcome)
        heads = pass_weirs(heads, season, reach_id, outcome)
        if not network.below[reach_id]:
            outcome.left += sum(heads)
            continue
        onward = shares_with_flow(season, cohort, reach_id)
        if not onward:
            outcome.stranded += sum(heads)
            outcome.died += sum(heads)
        for lower, share in onward:
            for a in range(stages):
                entering[lower][a] += share * heads[a]


def pass_stretch(
    heads: list[float], stretch: Stretch, reach_id: str, outcome: Outcome
) -> list[float]:
    """The model page, section 4: those still drifting at the end of a stretch; the others are
    counted.
    """
    onward = [0.0] * len(heads)
    for a in range(len(heads)):
        outcome.settled[reach_id] += heads[a] * stretch.settled[a]
        outcome.died += heads[a] * stretch.died[a]
        for b in range(a, len(heads)):
            onward[b] += heads[a] * stretch.drifting_on[a][b]
    return onward


def pass_weirs(
    heads: list[float], season: GuildYear, reach_id: str, outcome: Outcome
) -> list[float]:
    """The model page, section 2: `survival` passes on, the rest count as died; several multiply."""
    passed = weir_survival(season, reach_id)
    killed = sum(heads) * (1 - passed)
    outcome.died += killed
    outcome.died_at_weirs += killed
    return [h * passed for h in heads]


def weir_survival(season: GuildYear, reach_id: str) -> float:
    """The model page, section 2: the product over the weirs at the reach's lower end, for this
    guild.
    """
    passed = 1.0
    for weir in season.river_year.river.catchment.weirs:
        if weir.reach_id == reach_id and weir.guild_id in ("", season.guild.guild_id):
            passed *= weir.survival
    return passed


def shares_with_flow(season: GuildYear, cohort: int, reach_id: str) -> list[tuple[str, float]]:
    """The model page, section 2: a dry reach's share goes to its sisters with flow, in proportion;
    none: empty.
    """
    flow_m3s = season.river_year.flow_m3s
    wet = [
        (lower, share)
        for lower, share in season.river_year.river.network.below[reach_id]
        if flow_m3s[lower][season.day_met(cohort, lower)] > 0
    ]
    total = sum(share for _, share in wet)
    return [(lower, share / total) for lower, share in wet] if total > 0 else []
