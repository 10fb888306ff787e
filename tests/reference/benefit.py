"""What a set of screens brings, and the worth of every possible set: the model page, sections 6 and
10.
"""

from __future__ import annotations

from itertools import product

from .scoring import Scored
from .sweep import sweep_down
from .taking import drifter_efficacy
from .worth import let_by_today, worth_in_river
from .yearly import resident_gain

Choice = dict[str, str]  # option by offtake
Corners = dict[tuple[int, ...], float]


def benefit_adults(scored: Scored, chosen: Choice) -> float:
    """The model page, section 6, B(S): worth with S in place less worth today, by forward sweep,
    and residents.
    """
    total = 0.0
    for g, guild in scored.river.catchment.guilds.items():
        by_year = {}
        for year, result in scored.results.items():
            season = result.seasons[g]
            let_by = let_by_today(season)
            today = worth_in_river(season, sweep_down(season, let_by))
            for i, option_id in chosen.items():
                let_by[i] = 1 - drifter_efficacy(option_id, g, scored.river.catchment)
            by_year[year] = worth_in_river(season, sweep_down(season, let_by)) - today
        total += guild.weight * guild.adult_per_settler * scored.mean(by_year)
    return total + sum(resident_benefit(scored, i, option_id) for i, option_id in chosen.items())


def resident_benefit(scored: Scored, offtake_id: str, option_id: str) -> float:
    """The model page, section 6: residents count in B(S), site by site."""
    offtake = scored.river.catchment.offtakes[offtake_id]
    by_year = {
        year: resident_gain(scored.river, result.river_year, offtake, option_id)
        for year, result in scored.results.items()
    }
    return scored.mean(by_year)


def corners_of_worth(scored: Scored, guild_id: str, sites: list[str]) -> Corners:
    """The model page, section 6: worth along a path is a product of (1 - e).

    So mean worth is linear in what each screen lets by, one site at a time, and is known everywhere
    once it is known where each site lets by nothing (0) or all (1) of the unscreened taking. These
    corners are swept here.
    """
    guild = scored.river.catchment.guilds[guild_id]
    corners: Corners = {}
    for corner in product((0, 1), repeat=len(sites)):
        by_year = {}
        for year, result in scored.results.items():
            season = result.seasons[guild_id]
            let_by = let_by_today(season)
            for i, lets_all_by in zip(sites, corner, strict=False):
                let_by[i] = float(lets_all_by)
            by_year[year] = worth_in_river(season, sweep_down(season, let_by))
        corners[corner] = guild.weight * guild.adult_per_settler * scored.mean(by_year)
    return corners


def settle_first_site(corners: Corners, lets_by: float) -> Corners:
    """The model page, section 6: the corners of the other sites, once the first site's screen is
    decided.
    """
    others = {corner[1:] for corner in corners}
    return {c: corners[(0, *c)] + lets_by * (corners[(1, *c)] - corners[(0, *c)]) for c in others}


def benefits_of_all_sets(
    scored: Scored, choices: dict[str, list[str | None]]
) -> list[tuple[float, Choice]]:
    """The model page, section 10, *Best set*: B(S) of every set; None among a site's choices leaves
    it as it is.
    """
    catchment, sites = scored.river.catchment, sorted(choices)

    def lets_by(site: str, option_id: str | None, guild_id: str) -> float:
        screen = catchment.offtakes[site].fitted if option_id is None else option_id
        return 1 - drifter_efficacy(screen, guild_id, catchment)

    def settle(site: str, option_id: str | None, corners: dict[str, Corners]) -> dict[str, Corners]:
        return {g: settle_first_site(corners[g], lets_by(site, option_id, g)) for g in corners}

    residents = {
        (i, o): resident_benefit(scored, i, o) for i in sites for o in choices[i] if o is not None
    }
    swept = {g: corners_of_worth(scored, g, sites) for g in catchment.guilds}
    today = swept
    for site in sites:
        today = settle(site, None, today)
    found: list[tuple[float, Choice]] = []

    def decide(n: int, corners: dict[str, Corners], chosen: Choice) -> None:
        if n == len(sites):
            benefit = sum(corners[g][()] - today[g][()] for g in corners)
            benefit += sum(residents[(i, o)] for i, o in chosen.items())
            found.append((benefit, chosen))
            return
        for option_id in choices[sites[n]]:
            with_this = chosen if option_id is None else {**chosen, sites[n]: option_id}
            decide(n + 1, settle(sites[n], option_id, corners), with_this)

    decide(0, swept, {})
    return found
