"""Which results of an offtake go to a GIS, under which name and unit, and who may see each?"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.options import NONE
from slackwater.decisions.score import MILLION
from slackwater.desk.criteria_shown import BILLION, quoted_at_best, score_columns
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.features.layer import Offered, Told, Value, plain
from slackwater.desk.losses import millionths_of
from slackwater.desk.months_of_site import metered_offtakes
from slackwater.desk.offtake_columns import band_of
from slackwater.desk.visibility import Column, of_result
from slackwater.units import M3_PER_ML

Flags = NDArray[np.bool_]


def results_offered(evaluation: Evaluation) -> list[Offered]:
    """Offer rank, score, what they are made of, the screen and its cost, rows as in the table.

    Shares are given to the millionth that counts in the score. What is made from a quote is as
    private as the quote, and draw where it was metered as private as the meter.
    """
    return [*_ranked(evaluation), *_drawn(evaluation), *_priced(evaluation)]


def _ranked(evaluation: Evaluation) -> list[Offered]:
    ranking, total = evaluation.ranking, float(evaluation.loss_adults.sum())
    gain = evaluation.of_best_option(evaluation.gain_adults, 0.0)
    options = evaluation.catchment.table("options").keys
    best = [None if row == NONE else options[row] for row in evaluation.best_option]
    loss_share = _shares(millionths_of(evaluation.loss_adults, total))
    gain_share = _shares(millionths_of(gain, total))
    offered = [
        _whole("rank", "rank", ranking.rank, "rank by score, 1 the first"),
        *_scores(evaluation),
        _number("risk", "risk", _criterion(evaluation, "risk"), "entrainment risk", "share"),
        _number("overlap", "overlap", _criterion(evaluation, "overlap"), "season overlap", "share"),
        _number("loss_share", "loss_share", loss_share, "of the whole loss to offtakes", "share"),
        _number("gain_share", "gain_share", gain_share, "of that loss, by the screen", "share"),
        Offered(
            Told("best_option_id", Value.TEXT, "screen option that gains most for its cost"),
            Column("best_option_id", best, of_result("best_option")),
        ),
    ]
    if evaluation.catchment.settings.production_basis == "counted":  # else people see shares
        loss = evaluation.loss_adults
        meaning = "adult equivalents lost in a mean year"
        offered.append(_number("loss_adults_per_year", "losses.adults", loss, meaning, "1/year"))
    return offered


def _scores(evaluation: Evaluation) -> list[Offered]:
    """Offer the score as each viewer is told it, the one in full first."""
    told = Told("score", Value.NUMBER, "score from 0 to 1", "share")
    return [
        Offered(told, replace(each, values=[value / BILLION for value in each.values]))
        for each in score_columns(evaluation)
    ]


def _drawn(evaluation: Evaluation) -> list[Offered]:
    volume_m3 = evaluation.volume_ml * M3_PER_ML
    private = metered_offtakes(evaluation)
    meaning = "draw in a mean year"
    return [_number("volume_m3_per_year", "volume_ml", volume_m3, meaning, "m3/year", private)]


def _priced(evaluation: Evaluation) -> list[Offered]:
    """Offer what the best option costs and gains; the public sees a band."""
    costs, private = evaluation.costs, quoted_at_best(evaluation)
    capital = evaluation.of_best_option(costs.capital, np.nan)
    life_cycle = evaluation.of_best_option(costs.life_cycle, np.nan)
    gain = evaluation.of_best_option(evaluation.gain_adults, np.nan)
    bands = [band_of(float(value)) or (np.nan, np.nan) for value in capital]
    lower, upper = (np.array([band[side] for band in bands]) for side in (0, 1))
    money = "money"
    offered = [
        _number("capital_from_money", "capital_band", lower, "capital is at least", money, private),
        _number("capital_to_money", "capital_band", upper, "capital is below", money, private),
        _number("capital_money", "capital", capital, "capital of the best option", money, private),
        _number("life_cycle_cost_money", "life_cycle_cost", life_cycle,
                "life-cycle cost of the best option", money, private),
    ]  # fmt: skip
    if evaluation.catchment.settings.production_basis == "counted":
        per_1000 = np.divide(
            gain * 1000, life_cycle, out=np.full_like(gain, np.nan), where=life_cycle > 0
        )
        meaning = "adult equivalents gained in a mean year"
        offered += [
            _number("gain_adults_per_year", "gain_adults", gain, meaning, "1/year", private),
            _number("gain_adults_per_1000_money", "gain_per_1000", per_1000,
                    "the gain for 1,000 of life-cycle cost", "1/(1000 money)", private),
        ]  # fmt: skip
    return offered


def _number(
    name: str, result: str, values: Any, meaning: str, unit: str, private: Flags | None = None
) -> Offered:
    column = Column(name, plain(values), of_result(result), private)
    return Offered(Told(name, Value.NUMBER, meaning, unit), column)


def _whole(name: str, result: str, values: Any, meaning: str) -> Offered:
    column = Column(name, [int(value) for value in values], of_result(result))
    return Offered(Told(name, Value.WHOLE, meaning), column)


def _shares(millionths: Any) -> NDArray[np.float64]:
    return np.asarray(millionths, np.float64) / MILLION


def _criterion(evaluation: Evaluation, name: str) -> NDArray[np.float64]:
    ranking = evaluation.ranking
    return _shares(ranking.values_millionths[ranking.criteria.index(name)])
