"""Every offtake in every season-year, and the means over the years: the model page, sections 6 and
7.
"""

from __future__ import annotations

from dataclasses import dataclass

from .seasons import GuildYear, River, RiverYear, prepare_guild_year, prepare_year
from .sweep import Outcome
from .tables import Offtake
from .taking import resident_efficacy
from .worth import GuildLoss, losses_of_guild_year

SECONDS_PER_DAY_BY_M3_PER_ML = 86.4


@dataclass(frozen=True)
class YearResult:
    river_year: RiverYear
    seasons: dict[str, GuildYear]  # by guild
    outcomes: dict[str, Outcome]  # by guild
    losses: dict[str, dict[str, GuildLoss]]  # by guild and offtake


def results_by_year(river: River) -> dict[int, YearResult]:
    """The model page, sections 2 to 7, for each complete season-year."""
    results = {}
    for year in river.years:
        river_year = prepare_year(river, year)
        seasons = {
            g: prepare_guild_year(guild, river_year) for g, guild in river.catchment.guilds.items()
        }
        outcomes, losses = {}, {}
        for g, season in seasons.items():
            outcomes[g], losses[g] = losses_of_guild_year(season)
        results[year] = YearResult(river_year, seasons, outcomes, losses)
    return results


def volume_ml(year: RiverYear, offtake_id: str) -> float:
    """The model page, section 6: the season-year's draw, by calendar day."""
    return sum(q * SECONDS_PER_DAY_BY_M3_PER_ML for q in year.draw_m3s[offtake_id])


def resident_adults(
    river: River, offtake: Offtake, volume: float, kept_out: dict[str, float]
) -> float:
    """The model page, section 6: residents in adults; `kept_out` stands by guild in the place of 1
    - eff.
    """
    total = 0.0
    for g, guild in river.catchment.guilds.items():
        heads = guild.resident_per_ml * offtake.position * volume * kept_out[g]
        total += guild.weight * guild.adult_per_resident * heads
    return total


def loss_adults(river: River, result: YearResult, offtake: Offtake) -> float:
    """The model page, section 6: one year's loss in adult equivalents, residents included."""
    total = 0.0
    for g, guild in river.catchment.guilds.items():
        total += guild.weight * guild.adult_per_settler * result.losses[g][offtake.offtake_id].loss
    taken = {
        g: 1 - resident_efficacy(offtake.fitted, g, river.catchment) for g in river.catchment.guilds
    }
    return total + resident_adults(
        river, offtake, volume_ml(result.river_year, offtake.offtake_id), taken
    )


def gain_adults(river: River, result: YearResult, offtake: Offtake, option_id: str) -> float:
    """The model page, section 6: one year's gain of an option over what is fitted, residents
    included.
    """
    total = 0.0
    for g, guild in river.catchment.guilds.items():
        total += (
            guild.weight
            * guild.adult_per_settler
            * result.losses[g][offtake.offtake_id].gain[option_id]
        )
    return total + resident_gain(river, result.river_year, offtake, option_id)


def resident_gain(river: River, year: RiverYear, offtake: Offtake, option_id: str) -> float:
    """The model page, section 6: eff_resident(o) - eff_resident(fitted) in the place of 1 -
    eff_resident.
    """
    catchment = river.catchment
    kept = {
        g: resident_efficacy(option_id, g, catchment)
        - resident_efficacy(offtake.fitted, g, catchment)
        for g in catchment.guilds
    }
    return resident_adults(river, offtake, volume_ml(year, offtake.offtake_id), kept)


def overlap_of_year(river: River, result: YearResult, offtake_id: str) -> float:
    """The model page, section 7: mean over guilds by the worth that passes; 0 without draw, flux or
    worth.
    """
    weighted, total = 0.0, 0.0
    for g, guild in river.catchment.guilds.items():
        found = result.losses[g][offtake_id]
        if found.overlap is not None:
            importance = guild.weight * guild.adult_per_settler * found.worth_passing
            weighted += importance * found.overlap
            total += importance
    return weighted / total if total > 0 else 0.0


def mean_over(years: list[int], by_year: dict[int, float], weights: dict[int, float]) -> float:
    """The model page, section 6: the mean over years with equal or given weights (a year without
    one: 1).
    """
    total = sum(weights.get(year, 1.0) for year in years)
    return sum(weights.get(year, 1.0) * by_year[year] for year in years) / total


def thirds(river: River, results: dict[int, YearResult]) -> dict[str, list[int]]:
    """The model page, section 6: dry, median and wet years by volume at the outlet with the largest
    total.
    """
    volumes: dict[str, dict[int, float]] = {}
    for reach_id in sorted(river.network.below):
        if not river.network.below[reach_id]:
            volumes[reach_id] = {
                y: sum(results[y].river_year.flow_m3s[reach_id]) for y in river.years
            }
    largest = max(volumes, key=lambda reach_id: sum(volumes[reach_id].values()))
    ranked = sorted(river.years, key=lambda year: (volumes[largest][year], year))
    third = max(1, len(ranked) // 3)
    return {"dry": ranked[:third], "median": ranked[third:-third] or ranked, "wet": ranked[-third:]}
