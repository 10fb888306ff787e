"""What does the loss look like in dry, median or wet years, and for one guild alone?"""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.river.adults import thirds, year_weights

Numbers = NDArray[np.float64]


class YearView(StrEnum):
    """Which season-years a number is the mean of."""

    MEAN = "mean"
    DRY = "dry"
    MEDIAN = "median"
    WET = "wet"


def weights_of(evaluation: Evaluation, view: YearView) -> Numbers:
    """(years,) weights of the years in view, summing to 1; 0 for the others."""
    weights = year_weights(evaluation.catchment)
    if view is YearView.MEAN:
        return weights
    inside = np.zeros_like(weights)
    years = thirds(evaluation.river)[view.value]
    inside[years] = weights[years]
    return inside / inside.sum()


def loss_adults_of(evaluation: Evaluation) -> tuple[Numbers, Numbers]:
    """(guilds, years, offtakes) adult equivalents a year: of drifters, and of residents."""
    worth, efficacy = evaluation.worth, evaluation.efficacy
    through = 1 - efficacy.of_drifters(efficacy.fitted)
    drifters = evaluation.measured.exposed * through[:, None, :]
    residents_through = 1 - efficacy.of_residents(efficacy.fitted)
    return (
        worth.adults_per_settler[:, None, None] * drifters,
        worth.residents_adults * residents_through[:, None, :],
    )


def gain_adults_of(evaluation: Evaluation) -> Numbers:
    """(guilds, years, offtakes) adult equivalents that each best option gains; 0 without one."""
    worth, efficacy = evaluation.worth, evaluation.efficacy
    has = evaluation.best_option >= 0
    screens = np.where(has, evaluation.best_option, efficacy.fitted)
    kept = efficacy.of_drifters(screens) - efficacy.of_drifters(efficacy.fitted)
    residents = efficacy.of_residents(screens) - efficacy.of_residents(efficacy.fitted)
    return (
        worth.adults_per_settler[:, None, None] * evaluation.measured.exposed * kept[:, None, :]
        + worth.residents_adults * residents[:, None, :]
    )
