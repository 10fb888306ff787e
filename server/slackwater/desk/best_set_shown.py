"""The best set as the page gets it: rows and options, money, shares of the loss, one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from slackwater.decisions.best_set import BestSet
from slackwater.decisions.budget_line import price_at_line
from slackwater.decisions.by_score import cost_of
from slackwater.decisions.rules import Round
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import benefit_adults, sites_of
from slackwater.desk.groups_shown import groups_shown
from slackwater.desk.set_benefit import share_of

PROVED = 1e-6


def best_set_values(
    evaluation: Evaluation, round_: Round, best: BestSet, *, final: bool
) -> dict[str, Any]:
    """Give a best set; rows in order of the table, shares are of the loss to pumps.

    Parameters
    ----------
    final : whether the search has ended; else a better set may come.
    """
    rows, sites, budget = sorted(best.picks), round_.sites, round_.budget
    cuts = best.cuts
    price = price_at_line(round_, cuts) if final and cuts else None
    upkeep = evaluation.costs.upkeep_per_year
    loss = loss_adults(evaluation)
    return {
        "budget": budget,
        "spent": best.spent,
        "upkeep_per_year": float(sum(upkeep[row, best.picks[row]] for row in rows)),
        "benefit_adults": best.benefit,
        "benefit_share": share_of(best.benefit, loss),
        "upper_bound_adults": best.upper_bound,
        "gap": best.gap,
        "final": final,
        "rows": rows,
        "options": [best.picks[row] for row in rows],
        "price_adults_per_1000": None if price is None else 1000 * price,
        "costs": [sites[row].cost[best.picks[row]] for row in rows],
        "left_out": [
            {"row": row, "reason": site.left_out} for row, site in enumerate(sites) if site.left_out
        ],
        "together": [
            {"rows": list(each.rows), "inside": each.inside, "saved": each.saved}
            for each in groups_shown(evaluation, round_, best.picks)
        ],
        "sentence": _sentence(evaluation, best, budget, final),
    }


def beside_values(evaluation: Evaluation, rows: Sequence[int]) -> dict[str, Any]:
    """Give what a list by score truly gains: its rows, each at its best option."""
    sites = sites_of(evaluation)
    picks = {row: int(evaluation.best_option[row]) for row in rows}
    gained = benefit_adults(evaluation, tuple(picks.items()))
    return {
        "benefit_adults": gained,
        "benefit_share": share_of(gained, loss_adults(evaluation)),
        "spent": cost_of(sites, picks),
        "count": len(picks),
    }


def loss_adults(evaluation: Evaluation) -> float:
    """Adult equivalents a year that all offtakes cost, each as if alone it took none."""
    return float(evaluation.loss_adults.sum())


def _sentence(evaluation: Evaluation, best: BestSet, budget: float, final: bool) -> str:
    """Say in one sentence how sure it is that no other set does better."""
    currency = evaluation.catchment.settings.currency or "money"
    count = len(best.picks)
    these = f"These {count} screens" if count != 1 else "This one screen"
    if count == 0:
        these = "Funding none"
    kept = f"{these} for {best.spent:,.0f} {currency}"
    if not final:
        return f"{kept}: the best found so far; no other set gains over {_percent(best.gap)} more."
    if best.gap <= PROVED:
        return (
            f"{kept}: no other set within {budget:,.0f} {currency} and the same rules saves more "
            "of the river's fish, for these inputs. That is proved."
        )
    return (
        f"{kept}: no other set within {budget:,.0f} {currency} and the same rules saves over "
        f"{_percent(best.gap)} more of the river's fish, for these inputs. That is proved."
    )


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"
