"""Which rules of the river's network, flow and lags occur and matter: the model page, sections 1, 2
and 4.
"""

from __future__ import annotations

from ..scoring import Scored
from ..seasons import GuildYear, River
from ..sweep import shares_with_flow


def carrying_seasons(scored: Scored) -> list[GuildYear]:
    """Each guild and season-year with drifters."""
    return [
        result.seasons[g]
        for result in scored.results.values()
        for g in result.seasons
        if result.outcomes[g].produced > 0
    ]


def carrying_reaches(season: GuildYear) -> set[str]:
    """The reaches that drifters of a guild may come through: those with a release, and all below
    them.
    """
    network = season.river_year.river.network
    reached = {reach_id for reach_id, heads in season.released.items() if sum(heads) > 0}
    for reach_id in network.order:
        if reach_id in reached:
            reached |= {lower for lower, _ in network.below[reach_id]}
    return reached


def carrying_anywhere(scored: Scored) -> set[str]:
    """The reaches that any drifters come through."""
    return {
        reach_id for season in carrying_seasons(scored) for reach_id in carrying_reaches(season)
    }


def split(scored: Scored) -> bool:
    """Drifters come to a reach that drains to several."""
    return any(
        len(scored.river.network.below[reach_id]) > 1 for reach_id in carrying_anywhere(scored)
    )


def uneven_shares(scored: Scored) -> bool:
    """Shares that do not sum to 1 as written, so that dividing by their sum shows."""
    sums: dict[str, float] = {}
    for arm in scored.river.catchment.splits:
        sums[arm.from_reach] = sums.get(arm.from_reach, 0.0) + arm.share
    return any(abs(total - 1) > 1e-8 for total in sums.values())


def two_outlets(scored: Scored) -> bool:
    """Drifters may leave by more than one outlet."""
    below = scored.river.network.below
    return sum(1 for reach_id in carrying_anywhere(scored) if not below[reach_id]) > 1


def dry_day(scored: Scored) -> bool:
    """A cohort finds a reach dry that it would have entered."""
    for season in carrying_seasons(scored):
        below = season.river_year.river.network.below
        for cohort in season.cohorts():
            for reach_id in carrying_reaches(season):
                if len(shares_with_flow(season, cohort, reach_id)) < len(below[reach_id]):
                    return True
    return False


def stranding(scored: Scored) -> bool:
    """Drifters are stranded above dry reaches."""
    outcomes = [
        outcome for result in scored.results.values() for outcome in result.outcomes.values()
    ]
    return any(outcome.stranded > 1e-6 * outcome.produced for outcome in outcomes)


def weir(scored: Scored) -> bool:
    """Drifters die at a weir."""
    outcomes = [
        outcome for result in scored.results.values() for outcome in result.outcomes.values()
    ]
    return any(outcome.died_at_weirs > 1e-6 * outcome.produced for outcome in outcomes)


def manning(scored: Scored) -> bool:
    """Drifters come through a reach whose velocity is by Manning."""
    return any(
        reach_of(scored.river, r, "velocity_coef") is None for r in carrying_anywhere(scored)
    )


def area_scale(scored: Scored) -> bool:
    """Drifters come through a reach whose flow is scaled by area."""
    return any(reach_of(scored.river, r, "flow_scale") is None for r in carrying_anywhere(scored))


def reach_of(river: River, reach_id: str, column: str) -> object:
    """A cell of a reach."""
    return getattr(river.catchment.reaches[reach_id], column)


def nursery_row(scored: Scored) -> bool:
    """Drifters settle where a production row's nursery is not the reach's."""
    for (reach_id, g), row in scored.river.catchment.production.items():
        own = (
            row.nursery is not None
            and row.nursery != scored.river.catchment.reaches[reach_id].nursery
        )
        if own and any(
            result.outcomes[g].settled[reach_id] > 0 for result in scored.results.values()
        ):
            return True
    return False


def held_day(scored: Scored) -> bool:
    """A cohort meets a reach on a day outside the season-year, held within it."""
    for season in carrying_seasons(scored):
        last = len(season.river_year.days) - 1
        for reach_id in carrying_reaches(season):
            days = [cohort - season.lag_days[reach_id] for cohort in season.cohorts()]
            if min(days) < 0 or max(days) > last:
                return True
    return False


def lags_differ_by_year(scored: Scored) -> bool:
    """A guild's lags are not the same in all years."""
    lags: dict[str, set[tuple[int, ...]]] = {}
    for season in carrying_seasons(scored):
        lags.setdefault(season.guild.guild_id, set()).add(tuple(season.lag_days.values()))
    return any(len(kinds) > 1 for kinds in lags.values())
