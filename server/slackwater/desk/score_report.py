"""A catchment's numbers as plain values, for files and for people to read."""

from __future__ import annotations

from typing import Any

import numpy as np

from slackwater.decisions.options import NONE
from slackwater.desk.evaluation import Evaluation

BALANCE = ("produced", "settled", "died", "stranded", "taken", "left")


def score_values(evaluation: Evaluation) -> dict[str, Any]:
    """Give the content of ``slackwater score --json``: offtakes in order of rank, full precision."""
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
