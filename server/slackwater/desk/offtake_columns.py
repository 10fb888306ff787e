"""What does the page get of every offtake? Columns of numbers, each with who may see it."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.fields import Visibility
from slackwater.catchment.table import Table
from slackwater.desk.coded_lines import STEPS_PER_DEGREE
from slackwater.desk.criteria_shown import LABELS, criteria_columns, quoted_at_best, score_columns
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.fund_columns import fund_columns
from slackwater.desk.losses import millionths_of
from slackwater.desk.months_of_site import metered_offtakes
from slackwater.desk.status_shown import status_column
from slackwater.desk.visibility import Column, Viewer, of_contract, of_place, of_result, select

Numbers = NDArray[np.float64]
TEXTS = ("offtake_id", "label", "kind", "fitted", "district", "basis")
BAND_EDGES = (1.0, 2.0, 5.0)


def offtake_columns(evaluation: Evaluation, viewer: Viewer) -> dict[str, Any]:
    """Give the columns a viewer may see, rows as in the table.

    Shares and criteria are whole millionths, the score whole billionths, positions whole 1e-5
    degrees. Money is whole, NaN and hidden values are None.
    """
    columns = [
        *_told(evaluation),
        *_placed(evaluation),
        *_ranked(evaluation),
        *_priced(evaluation),
        *fund_columns(evaluation),
    ]
    shown = select(columns, viewer)
    further = criteria_columns(evaluation, viewer)
    return {**shown, "criteria": {name: further[name] for name in further if name not in LABELS}}


def _told(evaluation: Evaluation) -> list[Column]:
    """What the table says."""
    offtakes = evaluation.catchment.table("offtakes")
    texts = [
        Column(name, offtakes.text(name).tolist(), of_contract("offtakes", name)) for name in TEXTS
    ]
    capacity = [_short(value) for value in offtakes.number("capacity_m3s")]
    reach = evaluation.catchment.reach_index.tolist()
    return [
        *texts,
        Column("holder", _holders(offtakes), of_contract("offtakes", "landholder")),
        status_column(evaluation.catchment),
        Column("capacity_m3s", capacity, of_contract("offtakes", "capacity_m3s")),
        Column("reach", reach, of_contract("offtakes", "reach_id")),
    ]


def _holders(offtakes: Table) -> list[int]:
    """Give the first row of the same landholder, -1 where none is named: who, not by name."""
    first: dict[str, int] = {}
    names = offtakes.text("landholder").tolist()
    return [first.setdefault(name, row) if name else -1 for row, name in enumerate(names)]


def _placed(evaluation: Evaluation) -> list[Column]:
    """Where it stands: the intake for those who may know, else the middle of its reach."""
    catchment = evaluation.catchment
    intakes, lines = catchment.table("offtakes").geometry, catchment.table("reaches").geometry
    columns = []
    if intakes is not None:
        columns += _point_columns(intakes, "intake", of_place("offtakes"))
    if lines is not None:
        middles = shapely.line_interpolate_point(lines[catchment.reach_index], 0.5, normalized=True)
        columns += _point_columns(middles, "reach", of_place("reaches"))
    return columns


def _point_columns(points: NDArray[np.object_], what: str, visibility: Visibility) -> list[Column]:
    whole = np.rint(shapely.get_coordinates(points) * STEPS_PER_DEGREE).astype(np.int64)
    return [
        Column("lon", whole[:, 0].tolist(), visibility),
        Column("lat", whole[:, 1].tolist(), visibility),
        Column("stands_at", [what] * len(whole), visibility),
    ]


def _ranked(evaluation: Evaluation) -> list[Column]:
    """Rank, score, its criteria and what they are made of."""
    ranking = evaluation.ranking
    tie_order = np.empty(len(ranking.order), np.int64)
    tie_order[ranking.tie_order] = np.arange(len(ranking.order))
    metered = metered_offtakes(evaluation)
    total = float(evaluation.loss_adults.sum())
    gain = evaluation.of_best_option(evaluation.gain_adults, 0.0)
    results = {
        "rank": ranking.rank.tolist(),
        "tie_order": tie_order.tolist(),
        "risk": _criterion(evaluation, "risk"),
        "overlap": _criterion(evaluation, "overlap"),
        "loss_share": millionths_of(evaluation.loss_adults, total),
        "gain_share": millionths_of(gain, total),
        "best_option": evaluation.best_option.tolist(),
    }
    volume_ml = [_short(value) for value in evaluation.volume_ml]
    volume = Column("volume_ml", volume_ml, of_result("volume_ml"), metered)
    told = [Column(name, values, of_result(name)) for name, values in results.items()]
    return [*told, *score_columns(evaluation), volume]


def _priced(evaluation: Evaluation) -> list[Column]:
    """What the best option costs; a quoted site's cost is as private as its quote."""
    costs = evaluation.costs
    capital = evaluation.of_best_option(costs.capital, np.nan)
    life_cycle = evaluation.of_best_option(costs.life_cycle, np.nan)
    gain = evaluation.of_best_option(evaluation.gain_adults, 0.0)
    quoted = quoted_at_best(evaluation)
    per_1000 = np.divide(
        gain * 1000, life_cycle, out=np.zeros_like(gain), where=~np.isnan(life_cycle)
    )
    results: dict[str, list[Any]] = {
        "cost": _criterion(evaluation, "cost"),
        "capital": _whole_or_none(capital, 0),
        "life_cycle_cost": _whole_or_none(life_cycle, 0),
        "capital_band": [band_of(float(value)) for value in capital],
    }
    if evaluation.catchment.settings.production_basis == "counted":  # else people see shares
        results["gain_per_1000"] = [_short(value) for value in per_1000]
        results["gain_adults"] = [_short(value) for value in gain]
    return [Column(name, values, of_result(name), quoted) for name, values in results.items()]


def _criterion(evaluation: Evaluation, name: str) -> list[int]:
    ranking = evaluation.ranking
    values: list[int] = ranking.values_millionths[ranking.criteria.index(name)].tolist()
    return values


def _short(value: float) -> float:
    """Four digits: more than a list or a map shows; the why of an offtake has them all."""
    return float(f"{value:.4g}")


def _whole_or_none(values: Numbers, digits: int) -> list[float | None]:
    return [None if np.isnan(value) else round(float(value), digits) for value in values]


def band_of(money: float) -> list[float] | None:
    """Give the band of a cost, from one of 1, 2, 5, 10, ... to the next; None without a cost."""
    if not money > 0:
        return None
    decade = 10.0 ** np.floor(np.log10(money))
    lower = max(edge * decade for edge in BAND_EDGES if edge * decade <= money)
    position = BAND_EDGES.index(lower / decade) if lower / decade in BAND_EDGES else 0
    upper = BAND_EDGES[position + 1] * decade if position < 2 else 10.0 * decade
    return [float(lower), float(upper)]


def options_of(evaluation: Evaluation) -> list[dict[str, str]]:
    """Give the screens' ids and names; ``best_option`` is a position here, -1 for none."""
    options = evaluation.catchment.table("options")
    return [
        {"option_id": option_id, "name": name}
        for option_id, name in zip(options.keys, options.text("name").tolist(), strict=True)
    ]
