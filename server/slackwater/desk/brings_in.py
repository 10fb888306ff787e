"""Which sites are close calls, and what would bring a site into the best set, or put it out?"""

from __future__ import annotations

import numpy as np

from slackwater.decisions.asking import Asking
from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.close_by_score import close_by_score
from slackwater.decisions.close_calls import CloseCall, close_calls
from slackwater.decisions.entry import Entry, entry_of
from slackwater.decisions.gains import Cut
from slackwater.decisions.rules import Conditions
from slackwater.decisions.weightings import lists_of
from slackwater.desk.best_funding import FundingAnswer, gains_of, round_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.within import Within
from slackwater.errors import UsageError
from slackwater.progress import Progress


def close_calls_of(
    evaluation: Evaluation, answer: FundingAnswer, cuts: list[Cut], progress: Progress
) -> list[CloseCall]:
    """Give the close calls of a best set; ``progress`` counts sites.

    Parameters
    ----------
    cuts : bounds of what sets gain, its own among them; those found on the way are added.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    round_ = round_of(evaluation, answer.budget, answer.conditions)
    gains = gains_of(evaluation, Within(progress))
    asking = Asking(gains, cuts, lambda: progress.stopped)
    return close_calls(round_, asking, answer.certificate, evaluation.gain_adults, progress)


def close_calls_by_score(
    evaluation: Evaluation, budget: float, progress: Progress
) -> list[CloseCall]:
    """Give the close calls of the list by score; ``progress`` counts sites.

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    Cancelled
        Where ``progress`` was told to stop.
    """
    round_ = round_of(evaluation, budget, Conditions())
    lists = lists_of(round_.sites, round_.option_ids, budget)
    progress.expect(int(np.isfinite(lists.cost).sum()))
    life_cycle = evaluation.of_best_option(evaluation.costs.life_cycle, np.nan)
    return close_by_score(
        lists, evaluation.ranking, evaluation.loss_adults, life_cycle, progress.advance
    )


def brings_in(
    evaluation: Evaluation,
    budget: float,
    conditions: Conditions,
    offtake_id: str,
    cuts: list[Cut],
    progress: Progress,
) -> Entry:
    """Find the budget and the cost at which a site enters the best set, or leaves it.

    Parameters
    ----------
    cuts : bounds of what sets gain, from any best set of the same evaluation; may be none. Those
        found on the way are added.

    Raises
    ------
    UsageError
        Where there is no such offtake.
    NoSetPossible
        Where the rules clash.
    Cancelled
        Where ``progress`` was told to stop.
    """
    site = evaluation.catchment.table("offtakes").index.get(offtake_id)
    if site is None:
        raise UsageError(f"no offtake {offtake_id!r}")
    round_ = round_of(evaluation, budget, conditions)
    gains = gains_of(evaluation, Within(progress))
    asking = Asking(gains, cuts, lambda: progress.stopped)
    best, benefit, _ = asking.near_best(round_, EQUAL)
    return entry_of(round_, asking, best, benefit, site)


def entry_sentence(entry: Entry, option_name: str, currency: str) -> str:
    """Say in one sentence what would bring a site in, or put it out."""
    if entry.why_not:
        return f"{'Inside' if entry.inside else 'Outside'}: {entry.why_not}."
    money = [
        None if sum_ is None else f"{sum_:,.0f} {currency}".strip()
        for sum_ in (entry.least_budget, entry.highest_cost, entry.cost_now)
    ]
    budget, cost, now = money
    by_cost = f"{cost}, now {now}, with {option_name}" if cost else ""
    if entry.inside:
        parts = [f"from a budget of {budget}" if budget else ""]
        parts.append(f"up to a cost of {by_cost}" if cost else "")
        return f"Inside {', and '.join(part for part in parts if part)}."
    parts = [f"with a budget of {budget}" if budget else ""]
    parts.append(f"at this budget if it costs {by_cost}" if cost else "")
    return f"Inside {', or '.join(part for part in parts if part)}."
