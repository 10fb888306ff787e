"""What to fund this year, and what in the years after? As people and files get it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from slackwater.decisions.gains import Cut
from slackwater.decisions.rounds import Plan, plan_rounds
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.best_set_shown import loss_adults
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.set_benefit import share_of
from slackwater.errors import UsageError
from slackwater.progress import Progress


@dataclass(frozen=True)
class RoundPlan:
    """A plan of several rounds and what it was made for."""

    budgets: tuple[float, ...]
    conditions: Conditions
    made: Plan


def budgets_of(first: float, written: str) -> tuple[float, ...]:
    """Read the budgets of the years after the first, written ``400000,500000``.

    Raises
    ------
    UsageError
        Where one is no amount of money.
    """
    later = []
    for each in written.split(","):
        try:
            later.append(float(each))
        except ValueError:
            raise UsageError(f"{each!r} is no budget; write --rounds 400000,500000") from None
        if not 0 <= later[-1] < float("inf"):
            raise UsageError(f"a budget is an amount of 0 or more, not {each}")
    return (first, *later)


def plan(
    evaluation: Evaluation,
    budgets: tuple[float, ...],
    conditions: Conditions,
    progress: Progress,
    *,
    cuts: Sequence[Cut] = (),
    seconds: float = 60.0,
) -> RoundPlan:
    """Plan several yearly rounds.

    Raises
    ------
    UsageError
        Where a hand choice cannot be made or no plan was found in the time.
    NoSetPossible
        Where the rules clash.
    Cancelled
        Where ``progress`` was told to stop.
    """
    round_ = round_of(evaluation, sum(budgets), conditions)
    gains = gains_of(evaluation, progress)
    rate = evaluation.catchment.settings.discount_rate
    try:
        made = plan_rounds(
            round_, gains, budgets, rate, seconds=seconds, cuts=cuts, stop=lambda: progress.stopped
        )
    except TimeoutError as late:
        raise UsageError(f"{late}; give it more --seconds or other budgets") from None
    return RoundPlan(budgets, conditions, made)


def plan_values(evaluation: Evaluation, plan_: RoundPlan) -> dict[str, Any]:
    """Give a plan as plain values, full precision: what each round adds, by id."""
    made = plan_.made
    catchment = evaluation.catchment
    offtakes, options = catchment.table("offtakes").keys, catchment.table("options").keys
    sites = round_of(evaluation, 0.0, plan_.conditions).sites
    return {
        "budgets": list(plan_.budgets),
        "added": [
            [
                {"offtake_id": offtakes[p], "option_id": options[o], "cost": sites[p].cost[o]}
                for p, o in sorted(new.items(), key=lambda at: offtakes[at[0]])
            ]
            for new in made.added
        ],
        "costs": made.costs.tolist(),
        "benefits_adults": made.benefits.tolist(),
        "discounted_adults": made.discounted,
        "upper_bound_adults": made.upper_bound,
        "gap": made.gap,
    }


def plan_text(evaluation: Evaluation, plan_: RoundPlan) -> str:
    """Give a plan as text for a person."""
    budgets, made = plan_.budgets, plan_.made
    catchment = evaluation.catchment
    currency, loss = catchment.settings.currency or "money", loss_adults(evaluation)
    offtakes = catchment.table("offtakes").keys
    lines = ["", f"Rounds: {len(budgets)} budgets, the set only grows."]
    for year, (budget, new) in enumerate(zip(budgets, made.added, strict=True), start=1):
        codes = ", ".join(sorted(offtakes[p] for p in new)) or "none"
        lines.append(
            f"Round {year}: {made.costs[year - 1]:,.0f} of {budget:,.0f} {currency}, then avoiding "
            f"{100 * share_of(float(made.benefits[year - 1]), loss):.1f} % of the loss: {codes}"
        )
    lines.append(
        f"Over all rounds, discounted, no other plan gains over {100 * made.gap:.2g} % more."
    )
    return "\n".join(lines)
