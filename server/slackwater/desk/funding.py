"""Spend a budget: who may be funded, at what cost, and what the list by score buys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import Chosen, Site, fund_by_score
from slackwater.decisions.options import NONE
from slackwater.desk.evaluation import Evaluation
from slackwater.river.adults import year_weights

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Funded:
    """A set that is funded: ``chosen`` as (offtake id, option id, cost) by id."""

    spent: float
    benefit_adults: float
    chosen: tuple[tuple[str, str, float], ...]
    left_out: tuple[tuple[str, str], ...]


def sites_of(evaluation: Evaluation) -> list[Site]:
    """Give every offtake as a candidate for money, in the order of the offtakes table."""
    catchment = evaluation.catchment
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    fund_share, costs = 1 - catchment.settings.landholder_share, evaluation.costs
    sites = []
    for i, offtake_id in enumerate(offtakes.keys):
        feasible = np.flatnonzero(evaluation.sizing.feasible[i])
        cost = {int(o): float(costs.capital[i, o]) * fund_share for o in feasible}
        own_quote = costs.quoted[i, feasible].any()
        coming = {int(o): float(costs.mobilisation[i, o]) * fund_share for o in feasible}
        willing = offtakes.text("willing")[i] != "no"
        status = str(offtakes.text("status")[i])
        wanted = str(offtakes.text("quote_option")[i])
        quote_option = options.index.get(wanted, NONE)
        left_out = ""
        if status == "accepted":
            left_out = _why_left_out(willing, cost, wanted, quote_option)
        sites.append(
            Site(
                offtake_id=offtake_id,
                committed=status == "accepted" and not left_out,
                eligible=willing and status not in ("built", "declined", "accepted") and bool(cost),
                quote_option=quote_option if quote_option in cost else NONE,
                best_option=int(evaluation.best_option[i]),
                cost=cost,
                left_out=left_out,
                barred=_why_barred(willing, status, cost),
                mobilisation={} if own_quote else coming,
            )
        )
    return sites


def _why_barred(willing: bool, status: str, cost: dict[int, float]) -> str:
    """Say why a site may not be chosen; empty where it may."""
    if not willing:
        return "the landholder is not willing"
    if status in ("built", "declined"):
        return f"it is {status}"
    return "" if cost else "no option can go on this intake"


def _why_left_out(willing: bool, cost: dict[int, float], wanted: str, quote_option: int) -> str:
    """Say why an accepted site cannot be in a set; empty where it can."""
    if not willing:
        return "accepted, but the landholder is not willing"
    if not cost:
        return "accepted, but no option can go on this intake"
    if wanted and quote_option not in cost:
        return f"accepted with {wanted}, which cannot go on this intake"
    return ""


def benefit_adults(evaluation: Evaluation, picks: Sequence[tuple[int, int]]) -> float:
    """Adult equivalents a year that a set gains over today, mean over years, by the whole sweep."""
    efficacy, river = evaluation.efficacy, evaluation.river
    screens = efficacy.fitted.copy()
    for offtake, option in picks:
        screens[offtake] = option
    today, then = (efficacy.of_drifters(s) for s in (efficacy.fitted, screens))
    gained = np.diff(river.worth(np.array([today, then])), axis=0)[0]
    residents = efficacy.of_residents(screens) - efficacy.of_residents(efficacy.fitted)
    by_year = evaluation.worth.adults_per_settler @ gained + (
        evaluation.worth.residents_adults * residents[:, None, :]
    ).sum(axis=(0, 2))
    return float(year_weights(evaluation.catchment) @ by_year)


def by_score(evaluation: Evaluation, budget: float) -> Funded:
    """Give what the list by score funds.

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    """
    sites = sites_of(evaluation)
    options = evaluation.catchment.table("options").keys
    chosen = fund_by_score(sites, evaluation.ranking.order, options, budget)
    return funded(evaluation, sites, chosen)


def funded(evaluation: Evaluation, sites: Sequence[Site], chosen: Chosen) -> Funded:
    """Give a chosen set with its benefit, by id."""
    options = evaluation.catchment.table("options").keys
    return Funded(
        spent=chosen.spent,
        benefit_adults=benefit_adults(evaluation, chosen.picks),
        chosen=tuple(
            sorted((sites[p].offtake_id, options[o], sites[p].cost[o]) for p, o in chosen.picks)
        ),
        left_out=tuple((site.offtake_id, site.left_out) for site in sites if site.left_out),
    )
