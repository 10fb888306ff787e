"""What does a screen cost a landholder, what may it save, and when is it paid back?"""

from __future__ import annotations

from slackwater.catchment.contract import TABLES
from slackwater.desk.paper.payback import Payback, payback
from slackwater.desk.paper.site_facts import SiteFacts
from slackwater.reports.figures import figures, listed, money, percent
from slackwater.screens.landholder import CAVEAT

Terms = tuple[tuple[str, str], ...]


def money_side(site: SiteFacts) -> tuple[Terms, tuple[str, ...]]:
    """Give terms and sentences, as far as they may be told."""
    if site.option < 0:
        return (), ("There is no screen to price.",)
    if site.screen.get("landholder") is None:
        return _public(site)
    found = payback(site.case.evaluation, site.row.position, site.option)
    return _terms(site, found), (*_payback_sentences(found), *_together(site), CAVEAT)


def _public(site: SiteFacts) -> tuple[Terms, tuple[str, ...]]:
    """Give the band of the cost and who pays which share."""
    band, share = site.screen.get("capital_band"), _share(site)
    currency = site.case.currency
    cost = f"{money(band[0])} to {money(band[1], currency)}, a band" if band else "not told"
    terms = (
        ("Cost of the screen, fitted", cost),
        ("The fund pays", percent(1 - share)),
        ("The landholder pays once", percent(share)),
    )
    return terms, ("What it saves at this pump is for its landholder to tell.", CAVEAT)


def _terms(site: SiteFacts, found: Payback) -> Terms:
    currency, screen, share = site.case.currency, site.screen, _share(site)
    low, high = screen["capital_low"], screen["capital_high"]
    pays, upkeep = found.likely.pays_once, found.likely.upkeep_per_year
    fund = screen["capital"] * (1 - share)
    terms = [
        ("Cost of the screen, fitted" + (", as quoted" if screen["quoted"] else ""),
         _ranged(screen["capital"], (low, high), currency)),
        (f"The fund pays, {percent(1 - share)}", money(fund, currency)),
        (f"You pay once, {percent(share)}", _ranged(pays, found.pays_once, currency)),
        ("Upkeep a year, yours", _ranged(upkeep, found.upkeep_per_year, currency)),
    ]  # fmt: skip
    if found.saving_per_year:
        least, most = found.saving_per_year
        terms.append(("You may save a year", f"{money(least)} to {money(most, currency)}"))
    return tuple(terms)


def _payback_sentences(found: Payback) -> tuple[str, ...]:
    """Say the range of the payback; where an input is missing, which."""
    if found.missing:
        return (
            f"Savings and payback cannot be told: {listed([_meaning(m) for m in found.missing])} "
            "not known here. Write them on the last page and they will be worked out.",
        )
    ends = (
        "From the cheapest the screen may be with all of the filter work it may save, to the "
        "dearest with half of it."
    )
    return (_years_words(found), ends)


def _years_words(found: Payback) -> str:
    if found.pays_once[1] <= 0:
        return "There is nothing for you to pay back; upkeep stands against the savings."
    if found.best_years is None:
        return (
            "Savings do not pay it back: over the whole range they stay below its upkeep. What "
            "speaks for it is the fund's share, and the fish."
        )
    best = figures(found.best_years, 2)
    if found.worst_years is None:
        return (
            f"Savings pay it back in {best} years at best; at the other end of the range they stay "
            "below its upkeep and never do."
        )
    return f"Savings pay it back in {best} to {figures(found.worst_years, 2)} years."


def _together(site: SiteFacts) -> tuple[str, ...]:
    """Say what coming once to several pumps saves the fund."""
    row, alone = site.row, site.screen["capital"] * (1 - _share(site))
    if not row.inside or row.cost is None or alone - row.cost < 1:
        return ()
    return (
        "Taken with the pumps it goes together with, mobilisation is paid once: the fund then pays "
        f"{money(row.cost, site.case.currency)}.",
    )


def _ranged(likely: float, ends: tuple[float, float], currency: str) -> str:
    """Give money with its range where it has one."""
    told = money(likely, currency)
    return told if ends[0] == ends[1] else f"{told} ({money(ends[0])} to {money(ends[1])})"


def _meaning(column: str) -> str:
    table, _, name = column.partition(".")
    return TABLES[table].by_name[name].meaning


def _share(site: SiteFacts) -> float:
    return site.case.evaluation.catchment.settings.landholder_share
