"""In which months does one offtake draw, and in which do drifters come past it?

Section 7 of the methods page, by month: the months' overlaps sum to the overlap of the score.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visibility import Viewer, results_of, rows_shown
from slackwater.river.adults import year_weights
from slackwater.river.passing import passing_by_day

Numbers = NDArray[np.float64]
MONTHS = 12


@dataclass(frozen=True)
class Months:
    """Shares by month, January first; guilds and years weighted as in the overlap.

    Attributes
    ----------
    draw_share, passing_share : (12,) summing to 1, or all 0 where nothing is drawn or passes.
    overlap : (12,) summing to the offtake's overlap.
    """

    draw_share: Numbers
    passing_share: Numbers
    overlap: Numbers


def months_of(evaluation: Evaluation, offtake: int) -> Months:
    """Add up daily shares by month for one offtake (row of the offtakes table)."""
    river, efficacy = evaluation.river, evaluation.efficacy
    weights = overlap_weights(evaluation, offtake)
    sums = np.zeros((3, MONTHS))
    kept = efficacy.of_drifters(efficacy.fitted)
    remembered = evaluation.measured.passers
    passing = (
        [each.of(offtake) for each in remembered]
        if remembered
        else passing_by_day(river, offtake, kept)
    )
    for season, heads in zip(river.seasons, passing, strict=True):
        weight = weights[season.guild, season.year]
        if weight == 0:
            continue
        draw = river.draws[season.year].draw_m3s[offtake]
        shares = draw / draw.sum(), heads / heads.sum()
        month = _months_of_days(evaluation, season.year)
        for row, daily in enumerate((*shares, np.minimum(*shares))):
            sums[row] += weight * np.bincount(month, daily, minlength=MONTHS)
    counted = weights.sum()
    if counted > 0:
        sums[:2] /= counted
    return Months(*sums)


def overlap_weights(evaluation: Evaluation, offtake: int) -> Numbers:
    """(guilds, years) what each overlap counts: guilds by adults passing, years by their weight.

    0 where nothing is drawn or passes; each year's sum is its weight, or 0 in a year without.
    """
    measured, worth = evaluation.measured, evaluation.worth
    adults = worth.adults_per_settler[:, None] * measured.meeting[:, :, offtake]
    adults = np.where(np.isnan(measured.overlap[:, :, offtake]), 0.0, adults)
    total = adults.sum(axis=0)
    shares = np.divide(adults, total, out=np.zeros_like(adults), where=total > 0)
    weights: Numbers = shares * year_weights(evaluation.catchment)
    return weights


def _months_of_days(evaluation: Evaluation, year: int) -> NDArray[np.int64]:
    """(days,) month of each day of a season-year, 0 for January."""
    records = evaluation.catchment.records
    days = int(records.year_first[year]) + np.arange(int(records.year_days[year]))
    months: NDArray[np.int64] = (records.first_day + days).astype("datetime64[M]").astype(
        np.int64
    ) % MONTHS
    return months


def months_shown(evaluation: Evaluation, offtake: int, viewer: Viewer) -> list[dict[str, Any]]:
    """Give the months in the order of the season-year, as far as the viewer may see them.

    Where metered draw went in, what is made from draw is as private as the meter.
    """
    months = months_of(evaluation, offtake)
    start = evaluation.catchment.settings.season_start_month - 1
    order = [(start + step) % MONTHS for step in range(MONTHS)]
    metered = np.full(MONTHS, metered_offtakes(evaluation)[offtake])
    columns = {
        "month": [month + 1 for month in order],
        "draw_share": months.draw_share[order].tolist(),
        "passing_share": months.passing_share[order].tolist(),
        "overlap": months.overlap[order].tolist(),
    }
    narrower = {"draw_share": metered, "overlap": metered}
    return rows_shown(results_of("month", columns, narrower), viewer)


def metered_offtakes(evaluation: Evaluation) -> NDArray[np.bool_]:
    """(offtakes,) whether any metered draw, which is private, went into its numbers."""
    catchment = evaluation.catchment
    return np.isin(np.arange(len(catchment.reach_index)), catchment.metered_offtake)
