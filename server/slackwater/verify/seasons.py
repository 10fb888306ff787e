"""Do a certificate's season-years, guilds and cohorts stand for the whole catchment?"""

from __future__ import annotations

from collections.abc import Callable

from slackwater.catchment.catchment import Catchment
from slackwater.verify.claim import Claim, SeasonClaim
from slackwater.verify.orders import CHOSEN, TODAY, Recomputed
from slackwater.verify.verdict import Findings

PARTS: dict[str, Callable[[SeasonClaim], float]] = {
    "share of the year": lambda s: s.year_share,
    "adults a settler": lambda s: s.adults_per_settler,
    "cohorts": lambda s: float(s.cohorts),
    "drifters produced": lambda s: s.produced,
    "benefit_adults": lambda s: s.benefit_adults,
}


def check_seasons(
    catchment: Catchment, claim: Claim, found: Recomputed, findings: Findings
) -> float:
    """Compare what each guild and season-year stands for; give the benefit of the chosen set.

    Returns
    -------
    Adults a year the set gains, mean over years.
    """
    asked = found.asked
    by_season = asked.worth_adults[CHOSEN] - asked.worth_adults[TODAY]
    by_season += found.screens.residents_of_set(catchment, claim.chosen, asked.residents_adults)
    own = {
        (guild_id, int(year)): SeasonClaim(
            year_share=float(asked.year_share[y]),
            adults_per_settler=float(asked.adults_per_settler[g]),
            cohorts=int(asked.cohorts[g, y]),
            produced=float(asked.produced[g, y]),
            benefit_adults=float(by_season[g, y]),
        )
        for g, guild_id in enumerate(catchment.table("guilds").keys)
        for y, year in enumerate(catchment.records.years)
    }
    for part, what in enumerate(("guilds", "season-years")):
        claimed, known = ({str(key[part]) for key in keys} for keys in (claim.seasons, own))
        if claimed != known:
            findings.say(what, sorted(claimed), sorted(known))
    if claim.seasons.keys() != own.keys():
        findings.say("guilds in season-years, how many", len(claim.seasons), len(own))
    for name, part_of in PARTS.items():
        findings.compare_all(
            f"{name} of",
            {f"{g} in {y}": part_of(s) for (g, y), s in claim.seasons.items() if (g, y) in own},
            {f"{g} in {y}": part_of(s) for (g, y), s in own.items() if (g, y) in claim.seasons},
            findings.noise_adults if name == "benefit_adults" else 0.0,
        )
    return asked.mean(by_season)
