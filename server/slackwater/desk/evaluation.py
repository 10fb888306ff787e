"""From a catchment to every offtake's numbers: taken, lost, overlap, screen, cost, score, rank."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.decisions.options import NONE, best_options
from slackwater.decisions.score import (
    Ranking,
    column_values,
    cost_values,
    rank_offtakes,
    risk_values,
)
from slackwater.progress import Progress
from slackwater.river.adults import Worth, thirds, worth_of, year_weights
from slackwater.river.river import Measured, River, prepare
from slackwater.screens.cost import Costs, price_screens
from slackwater.screens.efficacy import Efficacy, efficacy_of
from slackwater.screens.sizing import Sizing, size_screens

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class Evaluation:
    """A catchment's numbers as things stand today; means are over years by their weights.

    Attributes
    ----------
    taken, loss : (guilds, offtakes) mean heads taken and worth lost a year.
    loss_adults_by_year : (years, offtakes) adult equivalents, residents included.
    loss_adults : (offtakes,) their mean.
    loss_adults_in : ``dry``, ``median``, ``wet`` -> (offtakes,) mean over those years.
    overlap, volume_ml : (offtakes,) means.
    exposed : (guilds, offtakes) mean worth of those taken without any screen.
    gain : (guilds, offtakes, options) settlers gained by each option in place of what is fitted.
    gain_adults : (offtakes, options) residents included.
    best_option : (offtakes,) position, -1 for none.
    balance : (guilds, 6) mean heads produced, settled, died, stranded, taken, left.
    """

    catchment: Catchment
    river: River
    measured: Measured
    worth: Worth
    efficacy: Efficacy
    sizing: Sizing
    costs: Costs
    taken: Numbers
    loss: Numbers
    loss_adults_by_year: Numbers
    loss_adults: Numbers
    loss_adults_in: dict[str, Numbers]
    overlap: Numbers
    volume_ml: Numbers
    exposed: Numbers
    gain: Numbers
    gain_adults: Numbers
    best_option: Positions
    balance: Numbers
    ranking: Ranking

    def of_best_option(self, values: Numbers, none: float) -> Numbers:
        """(offtakes,) a value (offtakes, options) at each best option, else ``none``."""
        return at_option(values, self.best_option, none)


def at_option(values: Numbers, option: Positions, none: float) -> Numbers:
    """(offtakes,) a value (offtakes, options) at one option each, ``none`` where that is -1."""
    picked = np.full(len(option), none, np.float64)
    has = np.flatnonzero(option != NONE)
    picked[has] = values[has, option[has]]
    return picked


def evaluate(catchment: Catchment, progress: Progress | None = None) -> Evaluation:
    """Work out every offtake's numbers.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    river, efficacy = prepare(catchment), efficacy_of(catchment)
    measured = river.measure(efficacy.of_drifters(efficacy.fitted), progress)
    worth, weights = worth_of(river), year_weights(catchment)
    sizing = size_screens(catchment)
    costs = price_screens(catchment, sizing)
    let_through = 1 - efficacy.of_drifters(efficacy.fitted)
    loss = measured.exposed * let_through[:, None, :]
    residents_lost = (
        worth.residents_adults * (1 - efficacy.of_residents(efficacy.fitted))[:, None, :]
    )
    by_year = np.einsum("g,gyo->yo", worth.adults_per_settler, loss) + residents_lost.sum(axis=0)
    exposed = _mean(measured.exposed, weights)
    gain = exposed[:, :, None] * (
        efficacy.drifter[:-1].T[:, None, :] - efficacy.of_drifters(efficacy.fitted)[:, :, None]
    )
    resident_gain = _mean(worth.residents_adults, weights)[:, :, None] * (
        efficacy.resident[:-1].T[:, None, :] - efficacy.of_residents(efficacy.fitted)[:, :, None]
    )
    gain_adults = np.einsum("g,gop->op", worth.adults_per_settler, gain) + resident_gain.sum(axis=0)
    best = best_options(
        gain_adults, costs.life_cycle, sizing.feasible, catchment.table("options").keys
    )
    loss_adults = weights @ by_year
    overlap = _mean_overlap(measured, worth, weights)
    balance = _mean(measured.balance, weights)
    taken = _mean(measured.taken, weights)
    return Evaluation(
        catchment=catchment,
        river=river,
        measured=measured,
        worth=worth,
        efficacy=efficacy,
        sizing=sizing,
        costs=costs,
        taken=taken,
        loss=_mean(loss, weights),
        loss_adults_by_year=by_year,
        loss_adults=loss_adults,
        loss_adults_in={
            name: weights[years] @ by_year[years] / weights[years].sum()
            for name, years in thirds(river).items()
        },
        overlap=overlap,
        volume_ml=weights @ np.array([draw.volume_ml for draw in river.draws]),
        exposed=exposed,
        gain=gain,
        gain_adults=gain_adults,
        best_option=best,
        balance=np.insert(balance, 4, taken.sum(axis=1), axis=1),
        ranking=_rank(catchment, loss_adults, overlap, costs, best),
    )


def _mean(values: Numbers, weights: Numbers) -> Numbers:
    """(guilds, ...) mean over the years axis of (guilds, years, ...)."""
    return np.einsum("y,gy...->g...", weights, values)


def _mean_overlap(measured: Measured, worth: Worth, weights: Numbers) -> Numbers:
    """(offtakes,) overlap, guilds weighted by the worth of those passing, then mean over years."""
    passing_adults = worth.adults_per_settler[:, None, None] * measured.meeting
    passing_adults = np.where(np.isnan(measured.overlap), 0.0, passing_adults)
    total = passing_adults.sum(axis=0)
    weighted = (passing_adults * np.nan_to_num(measured.overlap)).sum(axis=0)
    by_year = np.divide(weighted, total, out=np.zeros_like(total), where=total > 0)
    return weights @ by_year


def _rank(
    catchment: Catchment, loss_adults: Numbers, overlap: Numbers, costs: Costs, best: Positions
) -> Ranking:
    """Score and rank with the catchment's own weights and criteria."""
    settings, offtakes = catchment.settings, catchment.table("offtakes")
    risk, season, cost = settings.weights
    criteria = [
        ("risk", risk, risk_values(loss_adults)),
        ("overlap", season, overlap),
        ("cost", cost, cost_values(at_option(costs.life_cycle, best, np.nan))),
    ]
    criteria += [
        (c.column, c.weight, column_values(catchment.offtake_number(c.column), c.worst, c.best))
        for c in settings.criteria
    ]
    return rank_offtakes(criteria, loss_adults, offtakes.keys)
