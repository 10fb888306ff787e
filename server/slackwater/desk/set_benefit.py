"""What does a set gain, and what do all offtakes cost the river, by guild and by year?"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.progress import Progress
from slackwater.river.adults import year_weights

Numbers = NDArray[np.float64]


def benefit_in(evaluation: Evaluation, picks: Mapping[int, int], progress: Progress) -> Numbers:
    """(guilds, years) adult equivalents a set gains over today, residents included.

    Of the evaluation only river, worth and efficacy are read; so in `loss_in`.
    """
    efficacy, worth = evaluation.efficacy, evaluation.worth
    screens = efficacy.fitted.copy()
    for offtake, option in picks.items():
        screens[offtake] = option
    keeps = np.array([efficacy.of_drifters(each) for each in (efficacy.fitted, screens)])
    today, then = evaluation.river.worth(keeps, progress)
    residents = efficacy.of_residents(screens) - efficacy.of_residents(efficacy.fitted)
    gained: Numbers = worth.adults_per_settler[:, None] * (then - today) + np.einsum(
        "gyo,go->gy", worth.residents_adults, residents
    )
    return gained


def loss_in(evaluation: Evaluation, progress: Progress) -> Numbers:
    """(guilds, years) adult equivalents that all offtakes cost, each as if alone it took none."""
    efficacy, worth = evaluation.efficacy, evaluation.worth
    keeps = efficacy.of_drifters(efficacy.fitted)
    exposed = evaluation.river.exposed(keeps, keeps, progress)
    residents = 1 - efficacy.of_residents(efficacy.fitted)
    lost: Numbers = worth.adults_per_settler[:, None] * np.einsum(
        "gyo,go->gy", exposed, 1 - keeps
    ) + np.einsum("gyo,go->gy", worth.residents_adults, residents)
    return lost


def mean_of_years(evaluation: Evaluation, adults: Numbers) -> Numbers:
    """(guilds,) mean a year of (guilds, years)."""
    mean: Numbers = adults @ year_weights(evaluation.catchment)
    return mean


def share_of(adults: float, loss: float) -> float:
    """Share of the loss to pumps; 0 where nothing is lost."""
    return adults / loss if loss > 0 else 0.0
