"""What a budget buys, as text for a person."""

from __future__ import annotations

from slackwater.desk.best_funding import FundingAnswer, round_of
from slackwater.desk.best_set_shown import PROVED
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import Funded
from slackwater.desk.groups_shown import groups_shown


def fund_text(evaluation: Evaluation, answer: FundingAnswer) -> str:
    """Give both ways to spend the budget, and how sure it is that no other set does better."""
    catchment = evaluation.catchment
    currency = catchment.settings.currency or "money"
    loss = float(evaluation.loss_adults.sum())
    best, score = answer.best, answer.score
    lines = [
        f"{catchment.name}: a budget of {answer.budget:,.0f} {currency}, data "
        f"{catchment.data_version}",
        "",
        f"Best set: {_sentence(best, loss, currency)}",
        f"By score: {_sentence(score, loss, currency)}",
        "Beside the best set the list by score leaves another "
        f"{_share(best.benefit_adults - score.benefit_adults, loss)} of that loss in place.",
        _certainty(answer.certificate.gap),
        "",
        f"{'code':<12} {'screen':<12} {'cost':>12}  by score",
    ]
    listed = {offtake_id for offtake_id, _, _ in score.chosen}
    for offtake_id, option_id, cost in best.chosen:
        too = "too" if offtake_id in listed else "no"
        lines.append(f"{offtake_id:<12} {option_id:<12} {cost:>12,.0f}  {too}")
    lines += _together(evaluation, answer, currency)
    lines += [f"Left out: {offtake_id}, {why}." for offtake_id, why in best.left_out]
    lines += ["", "Best means best for these inputs. It ranks and budgets; it does not design."]
    return "\n".join(lines)


def _together(evaluation: Evaluation, answer: FundingAnswer, currency: str) -> list[str]:
    """Say of each group whether it is in, and what paying mobilisation once saves."""
    codes = evaluation.catchment.table("offtakes").keys
    round_ = round_of(evaluation, answer.budget, answer.conditions)
    return [
        f"Together: {', '.join(codes[row] for row in each.rows)}, "
        + (f"in, mobilisation once saves {each.saved:,.0f} {currency}." if each.inside else "out.")
        for each in groups_shown(evaluation, round_, answer.certificate.picks)
    ]


def _sentence(funded: Funded, loss: float, currency: str) -> str:
    return (
        f"{len(funded.chosen)} offtakes, {funded.spent:,.0f} {currency}, avoiding "
        f"{_share(funded.benefit_adults, loss)} of the loss to pumps"
    )


def _share(adults: float, loss: float) -> str:
    return f"{100 * adults / loss if loss else 0.0:.1f} %"


def _certainty(gap: float) -> str:
    if gap <= PROVED:
        return "No other set under the same rules gains more, for these inputs: proved."
    return f"No other set under the same rules gains over {100 * gap:.2g} % more: proved."
