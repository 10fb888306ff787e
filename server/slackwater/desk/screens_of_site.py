"""Which screens could go on one offtake, how large, at what cost, and what does each gain?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.losses import six_digits
from slackwater.desk.offtake_columns import band_of
from slackwater.desk.visibility import Viewer, results_of, rows_shown
from slackwater.screens.landholder import landholder_side

Numbers = NDArray[np.float64]
OF_COST = ("capital", "capital_low", "capital_high", "capital_band", "upkeep_per_year",
           "life_cycle", "life_cycle_at", "gain_per_1000", "landholder")  # fmt: skip
OBSTACLES = {
    "kind": "not made for this kind of intake",
    "opening": "its openings are larger than the criteria allow",
    "depth": "the water is too shallow",
    "power": "it needs power, and none can be brought",
    "life": "it does not last as long as the criteria ask",
    "fitted": "it is fitted already",
}


def screens_of_site(evaluation: Evaluation, offtake: int, viewer: Viewer) -> list[dict[str, Any]]:
    """Give every option at one offtake, feasible or not, as far as the viewer may see it.

    What a quoted option costs, and what is made from that, is as private as the quote.
    """
    quoted = evaluation.costs.quoted[offtake]
    columns = {
        **_sized(evaluation, offtake),
        **_priced(evaluation, offtake),
        **_gained(evaluation, offtake),
    }
    return rows_shown(results_of("screen", columns, dict.fromkeys(OF_COST, quoted)), viewer)


def _sized(evaluation: Evaluation, offtake: int) -> dict[str, list[Any]]:
    options, sizing = evaluation.catchment.table("options"), evaluation.sizing
    count = len(options)
    return {
        "option_id": list(options.keys),
        "name": options.text("name").tolist(),
        "feasible": sizing.feasible[offtake].tolist(),
        "obstacles": [
            [OBSTACLES[word] for word, stands in sizing.obstacles.items() if stands[offtake, o]]
            for o in range(count)
        ],
        "area_m2": [six_digits(value) for value in sizing.area_m2[offtake]],
        "units": sizing.units[offtake].astype(int).tolist(),
        "approach_ms": sizing.approach_ms.tolist(),
        "slot_ms": [float(v) if np.isfinite(v) else None for v in sizing.slot_ms],
        "depth_unknown": [bool(sizing.depth_unknown[offtake])] * count,
        "is_best": [o == int(evaluation.best_option[offtake]) for o in range(count)],
    }


def _priced(evaluation: Evaluation, offtake: int) -> dict[str, list[Any]]:
    costs, money = evaluation.costs, _whole(offtake)
    options = range(len(evaluation.catchment.table("options")))
    rates = sorted(costs.life_cycle_at)
    return {
        "capital": money(costs.capital),
        "capital_low": money(costs.capital_low),
        "capital_high": money(costs.capital_high),
        "capital_band": [band_of(float(value)) for value in costs.capital[offtake]],
        "upkeep_per_year": money(costs.upkeep_per_year),
        "life_cycle": money(costs.life_cycle),
        "life_cycle_at": [
            [[rate, round(float(costs.life_cycle_at[rate][offtake, o]))] for rate in rates]
            for o in options
        ],
        "quoted": costs.quoted[offtake].tolist(),
        "landholder": [_landholder(evaluation, offtake, o) for o in options],
    }


def _gained(evaluation: Evaluation, offtake: int) -> dict[str, list[Any]]:
    gain, total = evaluation.gain_adults[offtake], float(evaluation.loss_adults.sum())
    per_1000 = gain * 1000 / evaluation.costs.life_cycle[offtake]
    return {
        "gain_adults": [six_digits(value) for value in gain],
        "gain_share": [six_digits(value / total) if total > 0 else 0.0 for value in gain],
        "gain_per_1000": [six_digits(value) for value in per_1000],
    }


def _landholder(evaluation: Evaluation, offtake: int, option: int) -> dict[str, Any]:
    """Give the landholder's side, money whole, years to a tenth; empty inputs by name."""
    costs = evaluation.costs
    side = asdict(
        landholder_side(
            evaluation.catchment, offtake, option,
            float(costs.capital[offtake, option]), float(costs.upkeep_per_year[offtake, option]),
        )
    )  # fmt: skip
    years, missing = side.pop("payback_years"), side.pop("missing")
    return {
        **{name: None if value is None else round(value) for name, value in side.items()},
        "payback_years": None if years is None else round(years, 1),
        "missing": list(missing),
    }


def _whole(offtake: int) -> Callable[[Numbers], list[int]]:
    """Give a reader of one offtake's money, whole, from (offtakes, options)."""
    return lambda money: [round(float(value)) for value in money[offtake]]
