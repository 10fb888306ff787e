"""What does a browser need to fund by score on its own? State and cost of every offtake.

With these columns and the ranks the list of section 10 can be drawn up for any weights and budget
without asking the server, and comes out as `slackwater.desk.funding.by_score` has it.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import Site, committed_at_least
from slackwater.decisions.options import NONE
from slackwater.desk.evaluation import Evaluation, at_option
from slackwater.desk.funding import sites_of
from slackwater.desk.visibility import Column, Viewer, fields_shown, of_result, results_of

Flags = NDArray[np.bool_]
HINT_SHARE = 1 / 3
"""Of what every eligible site together would cost: a budget to begin with (planning assumption)."""


class FundState(IntEnum):
    """Whether an offtake can be paid for by score."""

    NOT_FUNDED = 0
    ELIGIBLE = 1
    COMMITTED = 2


def fund_columns(evaluation: Evaluation) -> list[Column]:
    """Give the columns, rows as in the table; costs are to the fund and not rounded.

    The cost of a quoted option is as private as its quote.
    """
    sites = sites_of(evaluation)
    option = by_score_options(evaluation, sites)
    least = _least_options(evaluation, sites)
    upkeep = evaluation.of_best_option(evaluation.costs.upkeep_per_year, np.nan)
    columns: dict[str, list[Any]] = {
        "fund_state": [state_of(site).value for site in sites],
        "fund_cost": _costs(sites, option),
        "fund_cost_least": _costs(sites, least),
        "not_funded_because": [why_not_funded(site) for site in sites],
        "upkeep_per_year": [None if np.isnan(value) else round(float(value)) for value in upkeep],
    }
    narrower = {
        "fund_cost": _quoted(evaluation, option),
        "fund_cost_least": _quoted(evaluation, least),
        "upkeep_per_year": _quoted(evaluation, evaluation.best_option),
    }
    return results_of("fund", columns, narrower)


def budget_hint(evaluation: Evaluation, viewer: Viewer) -> float | None:
    """Give a sensible budget to begin with, of costs this viewer may see; None without any."""
    sites = sites_of(evaluation)
    option = np.where(
        [state_of(site) is FundState.ELIGIBLE for site in sites], evaluation.best_option, NONE
    )
    cost = Column(
        "fund_cost", _costs(sites, option), of_result("fund.fund_cost"), _quoted(evaluation, option)
    )
    costs = [each for each in cost.shown_to(viewer) if each is not None]
    hint = float(f"{HINT_SHARE * sum(costs):.2g}") if costs else None
    shown: float | None = fields_shown("fund", {"budget_hint": hint}, viewer).get("budget_hint")
    return shown


def state_of(site: Site) -> FundState:
    """Say whether a site can be funded by score."""
    if site.committed:
        return FundState.COMMITTED
    return (
        FundState.ELIGIBLE if site.eligible and site.best_option != NONE else FundState.NOT_FUNDED
    )


def by_score_options(evaluation: Evaluation, sites: list[Site]) -> NDArray[np.int64]:
    """(offtakes,) option a site is funded with by score; -1 where it is not to be funded."""
    options = _least_options(evaluation, sites)
    for position, site in enumerate(sites):
        state = state_of(site)
        no_quote = site.quote_option == NONE
        if site.best_option != NONE and (
            state is FundState.ELIGIBLE or (state is FundState.COMMITTED and no_quote)
        ):
            options[position] = site.best_option
    return options


def _least_options(evaluation: Evaluation, sites: list[Site]) -> NDArray[np.int64]:
    """(offtakes,) option a committed site is held to when money is short; -1 for the others."""
    options = np.full(len(sites), NONE, np.int64)
    held = committed_at_least(sites, evaluation.catchment.table("options").keys)
    options[list(held)] = list(held.values())
    return options


def _costs(sites: list[Site], option: NDArray[np.int64]) -> list[float | None]:
    return [
        None if o == NONE else site.cost[o] for site, o in zip(sites, option.tolist(), strict=True)
    ]


def _quoted(evaluation: Evaluation, option: NDArray[np.int64]) -> Flags:
    """(offtakes,) whether the cost at an option is made from a quote."""
    quoted = evaluation.costs.quoted.astype(np.float64)
    return np.asarray(at_option(quoted, option, 0.0) > 0)


def why_not_funded(site: Site) -> str | None:
    """Say in plain words why a site is not to be funded; None where it is."""
    if state_of(site) is not FundState.NOT_FUNDED:
        return None
    return site.left_out or site.barred or "no option that can go on this intake gains anything"
