"""How is the loss shared out in another view: dry, median or wet years, one guild or all?

A view changes the numbers and colours shown, never score, rank or set.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.score import MILLION, risk_values, to_millionths
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visibility import Viewer, fields_shown, results_of, select
from slackwater.desk.year_views import YearView, gain_adults_of, loss_adults_of, weights_of
from slackwater.errors import UsageError

ALL_GUILDS = "all"
Numbers = NDArray[np.float64]


def losses_in_view(
    evaluation: Evaluation, year: YearView, guild: str, viewer: Viewer
) -> dict[str, Any]:
    """Give loss, risk and gain of every offtake in one view, rows as in the table.

    Shares are of that view's whole loss, in millionths.

    Raises
    ------
    UsageError
        Where there is no such guild.
    """
    guilds = _guilds_in(evaluation, guild)
    weights = weights_of(evaluation, year)
    loss = _in_view(sum(loss_adults_of(evaluation)), guilds, weights)
    gain = _in_view(gain_adults_of(evaluation), guilds, weights)
    total = float(loss.sum())
    columns: dict[str, list[Any]] = {
        "loss_share": millionths_of(loss, total),
        "risk": to_millionths(risk_values(loss)).tolist(),
        "gain_share": millionths_of(gain, total),
    }
    if evaluation.catchment.settings.production_basis == "counted":
        columns["adults"] = [six_digits(value) for value in loss]
    return {
        "year": year.value,
        "guild": guild,
        **select(results_of("losses", columns), viewer),
        **fields_shown("losses", {"total": six_digits(total)}, viewer),
    }


def _guilds_in(evaluation: Evaluation, guild: str) -> list[int]:
    index = evaluation.catchment.table("guilds").index
    if guild == ALL_GUILDS:
        return list(index.values())
    if guild not in index:
        raise UsageError(f"guild: no such guild here; there are {ALL_GUILDS}, {', '.join(index)}")
    return [index[guild]]


def _in_view(values: Numbers | int, guilds: list[int], weights: Numbers) -> Numbers:
    """(offtakes,) mean over the years in view of (guilds, years, offtakes), guilds summed."""
    picked: Numbers = np.asarray(values, np.float64)[guilds].sum(axis=0)
    mean: Numbers = weights @ picked
    return mean


def millionths_of(values: Numbers, total: float) -> list[int]:
    """Give shares of a total in whole millionths; 0 where the total is 0."""
    if total <= 0:
        return [0] * len(values)
    whole: list[int] = np.rint(values / total * MILLION).astype(np.int64).tolist()
    return whole


def six_digits(value: float) -> float:
    """Give a number to six significant digits."""
    return float(f"{value:.6g}")
