"""A catchment's numbers as plain values, for files and for people to read."""

from __future__ import annotations

from typing import Any

import numpy as np

from slackwater.decisions.options import NONE
from slackwater.desk.evaluation import Evaluation

BALANCE = ("produced", "settled", "died", "stranded", "taken", "left")


def score_values(evaluation: Evaluation) -> dict[str, Any]:
    """Give the content of ``slackwater score --json``: offtakes by rank, full precision."""
    catchment = evaluation.catchment
    guilds = catchment.table("guilds").keys
    return {
        "catchment": catchment.name,
        "data_version": catchment.data_version,
        "years": [int(year) for year in catchment.records.years],
        "offtakes": [_offtake(evaluation, int(i)) for i in evaluation.ranking.order],
        "balance": {
            guild: dict(zip(BALANCE, map(float, row), strict=True))
            for guild, row in zip(guilds, evaluation.balance, strict=True)
        },
    }


def _offtake(evaluation: Evaluation, i: int) -> dict[str, Any]:
    catchment = evaluation.catchment
    guilds, options = catchment.table("guilds").keys, catchment.table("options").keys
    best = int(evaluation.best_option[i])
    gain = evaluation.gain[:, i, best] if best != NONE else np.zeros(len(guilds))
    gain_adults = float(evaluation.gain_adults[i, best]) if best != NONE else 0.0
    life_cycle = float(evaluation.costs.life_cycle[i, best]) if best != NONE else None
    return {
        "offtake_id": catchment.table("offtakes").keys[i],
        "rank": int(evaluation.ranking.rank[i]),
        "score": float(evaluation.ranking.score[i]),
        "taken": dict(zip(guilds, map(float, evaluation.taken[:, i]), strict=True)),
        "loss": dict(zip(guilds, map(float, evaluation.loss[:, i]), strict=True)),
        "loss_adults": float(evaluation.loss_adults[i]),
        "loss_adults_dry": float(evaluation.loss_adults_in["dry"][i]),
        "loss_adults_median": float(evaluation.loss_adults_in["median"][i]),
        "loss_adults_wet": float(evaluation.loss_adults_in["wet"][i]),
        "overlap": float(evaluation.overlap[i]),
        "volume_ml": float(evaluation.volume_ml[i]),
        "best_option": options[best] if best != NONE else None,
        "gain": dict(zip(guilds, map(float, gain), strict=True)),
        "gain_adults": gain_adults,
        "capital": float(evaluation.costs.capital[i, best]) if best != NONE else None,
        "life_cycle_cost": life_cycle,
        "gain_per_1000": gain_adults / life_cycle * 1000 if life_cycle else 0.0,
    }


def score_table(evaluation: Evaluation) -> str:
    """Give the ranked list as text for a person: shares of the loss, no heads."""
    catchment = evaluation.catchment
    offtakes, options = catchment.table("offtakes"), catchment.table("options").keys
    total = evaluation.loss_adults.sum()
    currency = catchment.settings.currency or "money"
    values = evaluation.ranking.values_millionths / 1e6
    lines = [
        f"{catchment.name}: {len(offtakes)} offtakes, season-years "
        f"{', '.join(str(y) for y in catchment.records.years)}, data {catchment.data_version}",
        "",
        f"{'rank':>4}  {'code':<12} {'score':>6}  {'share of':>8} {'season':>7} {'water':>9}  "
        f"{'screen':<12} {'capital':>11} {'life cycle':>11} {'gain per':>9}",
        f"{'':>4}  {'':<12} {'':>6}  {'loss %':>8} {'overlap':>7} {'ML/year':>9}  {'':<12} "
        f"{currency:>11} {currency:>11} {'1,000':>9}",
    ]
    for i in evaluation.ranking.order:
        best = int(evaluation.best_option[i])
        lines.append(
            f"{evaluation.ranking.rank[i]:>4}  {offtakes.keys[i]:<12} "
            f"{evaluation.ranking.score[i]:>6.3f}  "
            f"{100 * evaluation.loss_adults[i] / total if total else 0:>8.2f} "
            f"{values[1, i]:>7.2f} {evaluation.volume_ml[i]:>9,.0f}  "
            + _screen_columns(evaluation, i, best, options)
        )
    weights = ", ".join(
        f"{name} {weight / 1000:g}"
        for name, weight in zip(
            evaluation.ranking.criteria, evaluation.ranking.weights_thousandths, strict=True
        )
    )
    lines += [
        "",
        f"Weights: {weights}. Share of loss: of all that offtakes cost the river, in adult "
        "equivalents.",
        "Gain per 1,000: adult equivalents a year kept for each 1,000 of life-cycle cost.",
        "It ranks and budgets; it does not design. A built screen is designed by a qualified "
        "engineer.",
    ]
    return "\n".join(lines)


def _screen_columns(evaluation: Evaluation, i: int, best: int, options: tuple[str, ...]) -> str:
    if best == NONE:
        return f"{'none feasible or none that gains':<12}"
    capital, life_cycle = (
        evaluation.costs.capital[i, best],
        evaluation.costs.life_cycle[i, best],
    )
    gain = evaluation.gain_adults[i, best] / life_cycle * 1000
    return f"{options[best]:<12} {capital:>11,.0f} {life_cycle:>11,.0f} {gain:>9.3g}"
