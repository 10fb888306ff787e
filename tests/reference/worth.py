"""What a drifter is worth at each offtake, and what each offtake costs the river: the model page,
section 6.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from .drift import Stretch
from .seasons import GuildYear, RiverYear
from .sweep import Outcome, shares_with_flow, sweep_down, weir_survival
from .taking import drifter_efficacy


@dataclass
class GuildLoss:
    """One guild's year at one offtake."""

    taken: float = 0.0  # heads
    loss: float = 0.0  # settlers the river would have had
    gain: dict[str, float] = field(default_factory=dict)  # settlers, by option
    worth_passing: float = 0.0  # sum of flux . V below
    overlap: float | None = None  # none where nothing is drawn or nobody passes


def let_by_today(season: GuildYear) -> dict[str, float]:
    """The model page, section 5: 1 - eff of what is fitted."""
    catchment = season.river_year.river.catchment
    return {
        i: 1 - drifter_efficacy(offtake.fitted, season.guild.guild_id, catchment)
        for i, offtake in catchment.offtakes.items()
    }


def worth_in_river(season: GuildYear, outcome: Outcome) -> float:
    """The model page, section 4: settlers by nursery, and those who leave by the outlet's value."""
    worth = outcome.left * season.guild.outlet_value
    for reach_id, settled in outcome.settled.items():
        worth += settled * season.nursery(reach_id)
    return worth


def values_below(
    season: GuildYear, cohort: int, let_by: dict[str, float]
) -> dict[str, list[float]]:
    """The model page, section 6: V just below each offtake, by stage, by the backward sweep of one
    cohort.
    """
    network = season.river_year.river.network
    stages = season.guild.drift_stages
    at_top: dict[str, list[float]] = {}
    below: dict[str, list[float]] = {}
    for reach_id in reversed(network.order):
        t = season.day_met(cohort, reach_id)
        if season.river_year.flow_m3s[reach_id][t] == 0:
            at_top[reach_id] = [0.0] * stages  # dry: nobody enters it
            for station in network.stations[reach_id]:
                if station.offtake_id is not None:
                    below[station.offtake_id] = [0.0] * stages
            continue
        value = [0.0] * stages
        if network.below[reach_id]:
            for lower, share in shares_with_flow(season, cohort, reach_id):
                value = [value[a] + share * at_top[lower][a] for a in range(stages)]
        else:
            value = [season.guild.outlet_value] * stages
        passed = weir_survival(season, reach_id)
        value = [passed * v for v in value]
        nursery, to_m = season.nursery(reach_id), network.length_m[reach_id]
        for station in reversed(network.stations[reach_id]):
            value = value_above(
                value, season.stretch(reach_id, t, to_m - station.chainage_m), nursery
            )
            to_m = station.chainage_m
            if station.offtake_id is not None:
                below[station.offtake_id] = value
                e = season.unscreened(station.offtake_id, t) * let_by[station.offtake_id]
                value = [(1 - e) * v for v in value]
        at_top[reach_id] = value_above(value, season.stretch(reach_id, t, to_m), nursery)
    return below


def value_above(value: list[float], stretch: Stretch, nursery: float) -> list[float]:
    """The model page, section 6: worth at the head of a stretch, from the worth at its foot."""
    above = []
    for a in range(len(value)):
        worth = stretch.settled[a] * nursery
        for b in range(a, len(value)):
            worth += stretch.drifting_on[a][b] * value[b]
        above.append(worth)
    return above


def losses_of_guild_year(season: GuildYear) -> tuple[Outcome, dict[str, GuildLoss]]:
    """The model page, sections 6 and 7: the river as it is today, and each offtake's taking, loss
    and gains in it.
    """
    catchment = season.river_year.river.catchment
    let_by = let_by_today(season)
    outcome = sweep_down(season, let_by)
    below = {cohort: values_below(season, cohort, let_by) for cohort in season.cohorts()}
    losses: dict[str, GuildLoss] = {}
    for i in catchment.offtakes:
        found = GuildLoss(gain=dict.fromkeys(catchment.options, 0.0))
        for passing in outcome.passing[i]:
            value = below[passing.cohort][i]
            worth = sum(passing.heads[a] * value[a] for a in range(len(value)))
            bare = season.unscreened(i, passing.day_met)
            e_fitted = bare * let_by[i]
            found.taken += sum(passing.heads) * e_fitted
            found.loss += worth * e_fitted
            found.worth_passing += worth
            for option_id in catchment.options:
                e_option = bare * (
                    1 - drifter_efficacy(option_id, season.guild.guild_id, catchment)
                )
                found.gain[option_id] += worth * (e_fitted - e_option)
        found.overlap = overlap_with_draw(season.river_year, i, outcome)
        losses[i] = found
    return outcome, losses


def overlap_with_draw(year: RiverYear, offtake_id: str, outcome: Outcome) -> float | None:
    """The model page, section 7: sum over days of the lesser of the draw's and the passing
    drifters' day share.
    """
    passing = [0.0] * len(year.days)
    for p in outcome.passing[offtake_id]:
        passing[p.day_met] += sum(p.heads)
    draws = year.draw_m3s[offtake_id]
    if sum(passing) == 0 or sum(draws) == 0:
        return None
    return sum(
        min(q / sum(draws), heads / sum(passing)) for q, heads in zip(draws, passing, strict=False)
    )
