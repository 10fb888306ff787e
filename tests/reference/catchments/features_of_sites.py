"""Which rules of draws, taking and places of offtakes occur and matter: the model page, sections 1,
5 and 6.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from ..scoring import Scored
from ..seasons import RiverYear
from ..tables import Offtake
from ..taking import diel_factor, drifter_efficacy, metered_on, resident_efficacy, use_by_month
from ..yearly import volume_ml


def offtake_days(scored: Scored) -> Iterator[tuple[Offtake, RiverYear, int, date, float]]:
    """Each offtake, used year and day, with the flow of its reach."""
    for result in scored.results.values():
        year = result.river_year
        for i, offtake in scored.river.catchment.offtakes.items():
            flow_m3s = year.flow_m3s[scored.river.network.reach_of[i]]
            for t, day in enumerate(year.days):
                yield offtake, year, t, day, flow_m3s[t]


def takes(scored: Scored, offtake_id: str) -> bool:
    """The offtake takes drifters in some year."""
    return any(
        losses[offtake_id].taken > 0
        for result in scored.results.values()
        for losses in result.losses.values()
    )


def night(scored: Scored) -> bool:
    """Drifting by night meets drawing by night at an offtake that takes drifters."""
    for offtake in scored.river.catchment.offtakes.values():
        for guild in scored.river.catchment.guilds.values():
            for result in scored.results.values():
                passing = result.outcomes[guild.guild_id].passing[offtake.offtake_id]
                taken = result.losses[guild.guild_id][offtake.offtake_id].taken
                if (
                    taken > 0
                    and offtake.night_use_share is not None
                    and guild.night_drift_share is not None
                ):
                    day = result.river_year.days[passing[0].day_met]
                    if abs(diel_factor(guild, offtake, day) - 1) > 0.01:
                        return True
    return False


def two_offtakes_a_reach(scored: Scored) -> bool:
    """Two offtakes that take drifters stand on one reach."""
    reaches = [
        reach_id for i, reach_id in scored.river.network.reach_of.items() if takes(scored, i)
    ]
    return len(reaches) > len(set(reaches))


def mid_length_tie(scored: Scored) -> bool:
    """An offtake stands at mid-length of a reach with a release, so that their order matters."""
    network, production = scored.river.network, scored.river.catchment.production
    for i, reach_id in network.reach_of.items():
        releasing = any(r == reach_id and row.drifters > 0 for (r, _), row in production.items())
        if (
            releasing
            and network.chainage_m[i] == network.length_m[reach_id] / 2
            and volume(scored, i) > 0
        ):
            return True
    return False


def volume(scored: Scored, offtake_id: str) -> float:
    """What an offtake draws over the used years."""
    return sum(volume_ml(result.river_year, offtake_id) for result in scored.results.values())


def fitted(scored: Scored) -> bool:
    """A fitted screen keeps out some of the drifters that an offtake would take."""
    catchment = scored.river.catchment
    return any(
        drifter_efficacy(o.fitted, g, catchment) > 0
        and any(result.losses[g][o.offtake_id].loss > 0 for result in scored.results.values())
        for o in catchment.offtakes.values()
        for g in catchment.guilds
    )


def metered(scored: Scored) -> bool:
    """A day's draw is as metered, in a used year."""
    catchment = scored.river.catchment
    return any(
        day in catchment.metered_m3s.get(offtake.offtake_id, {}) and flow > 0
        for offtake, _, _, day, flow in offtake_days(scored)
    )


def by_months_m3s(scored: Scored, offtake: Offtake, day: date) -> float:
    """The draw by months, before allocation and flow limits."""
    return offtake.capacity_m3s * use_by_month(offtake, scored.river.catchment)[day.month - 1]


def metered_zero(scored: Scored) -> bool:
    """A day missing within a metered record is 0 where the months would give a draw."""
    catchment = scored.river.catchment
    for offtake, _, _, day, flow in offtake_days(scored):
        record = catchment.metered_m3s.get(offtake.offtake_id, {})
        missing = bool(record) and day not in record and metered_on(offtake, day, catchment) == 0
        runs = flow > offtake.cease_flow_m3s and by_months_m3s(scored, offtake, day) > 0
        if missing and runs:
            return True
    return False


def allocation(scored: Scored) -> bool:
    """A year's allocation cuts a draw by months."""
    return any(
        scored.river.catchment.settings.allocation.get(year, 1.0) < 1 and volume(scored, i) > 0
        for year in scored.river.years
        for i in scored.river.catchment.offtakes
    )


def cease_flow(scored: Scored) -> bool:
    """An offtake stops on a day with flow."""
    catchment = scored.river.catchment
    return any(
        0 < flow < offtake.cease_flow_m3s
        and metered_on(offtake, day, catchment) is None
        and by_months_m3s(scored, offtake, day) > 0
        for offtake, _, _, day, flow in offtake_days(scored)
        if offtake.cease_flow_m3s > 0
    )


def use_missing(scored: Scored) -> bool:
    """Some but not all months of use are empty, at an offtake that draws."""
    return any(
        None in offtake.use_by_month and any(offtake.use_by_month) and volume(scored, i) > 0
        for i, offtake in scored.river.catchment.offtakes.items()
    )


def use_borrowed(scored: Scored) -> bool:
    """All months of use are empty, at an offtake that draws."""
    return any(
        all(use is None for use in offtake.use_by_month) and volume(scored, i) > 0
        for i, offtake in scored.river.catchment.offtakes.items()
    )


def draw_held_to_flow(scored: Scored) -> bool:
    """A draw is held to what flows."""
    return any(
        year.draw_m3s[o.offtake_id][t] == flow > 0 for o, year, t, _, flow in offtake_days(scored)
    )


def all_taken(scored: Scored) -> bool:
    """The unscreened share taken is held to 1 as a cohort passes."""
    for result in scored.results.values():
        for g, season in result.seasons.items():
            for i, passings in result.outcomes[g].passing.items():
                if any(season.unscreened(i, p.day_met) == 1 and sum(p.heads) > 0 for p in passings):
                    return True
    return False


def residents(scored: Scored) -> bool:
    """An offtake takes residents."""
    catchment = scored.river.catchment
    return any(
        guild.resident_per_ml * guild.adult_per_resident > 0
        and volume(scored, i) > 0
        and resident_efficacy(offtake.fitted, g, catchment) < 1
        for g, guild in catchment.guilds.items()
        for i, offtake in catchment.offtakes.items()
    )


def snapped(scored: Scored) -> bool:
    """An offtake that takes drifters has no chainage or no reach of its own."""
    return any(
        (not offtake.reach_id or offtake.chainage_m is None) and takes(scored, i)
        for i, offtake in scored.river.catchment.offtakes.items()
    )


def snapped_to_nearest(scored: Scored) -> bool:
    """An offtake that takes drifters has no reach of its own."""
    return any(
        not o.reach_id and takes(scored, i) for i, o in scored.river.catchment.offtakes.items()
    )
