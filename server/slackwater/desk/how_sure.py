"""How sure is the set? Trials over the data's ranges, weightings, years, and what to measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.budget_line import price_at_line
from slackwater.decisions.weightings import lists_of, random_weightings, times_funded
from slackwater.desk.best_funding import FundingAnswer, round_of
from slackwater.desk.data_trials import run_trials
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import sites_of
from slackwater.desk.measurements import Measurement, worth_measuring
from slackwater.desk.sensitivity import Sensitivity, sensitivity_of
from slackwater.desk.set_benefit import benefit_in, loss_in, share_of
from slackwater.desk.trial_draws import assumed_ranges, ranges_of
from slackwater.desk.within import Within
from slackwater.progress import Progress

Whole = NDArray[np.int64]
TRIALS, WEIGHTINGS, SEED = 100, 1000, 20
LOW, HIGH = 0.05, 0.95
STEPS_BESIDE = 10
"""What sensitivity, years and measurements count as, in trials."""


@dataclass(frozen=True)
class Spread:
    """Share of the loss avoided: below it in 5, 50 and 95 of 100 trials."""

    low: float
    median: float
    high: float


@dataclass(frozen=True)
class HowSure:
    """How sure a set is.

    Attributes
    ----------
    inside : (offtakes,) in how many of ``trials`` the site is in the best set.
    none_possible : in how many no set was possible.
    funded : (offtakes,) under how many of ``weightings`` the list by score funds it.
    assumed : inputs without a range, for which half to double was assumed.
    benefit : of the set over the trials.
    by_year : season-year and share of that year's loss that the set avoids.
    sensitivity, measure : widest and best first.
    """

    trials: int
    inside: Whole
    none_possible: int
    weightings: int
    funded: Whole
    assumed: tuple[str, ...]
    benefit: Spread
    by_year: tuple[tuple[int, float], ...]
    sensitivity: tuple[Sensitivity, ...]
    measure: tuple[Measurement, ...]


def how_sure(
    evaluation: Evaluation,
    answer: FundingAnswer,
    progress: Progress,
    *,
    trials: int = TRIALS,
    seed: int = SEED,
) -> HowSure:
    """Work out how sure a best set is; ``progress`` counts trials.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    progress.expect(trials + STEPS_BESIDE)
    ranges, picks, within = (
        ranges_of(evaluation.catchment),
        answer.certificate.picks,
        Within(progress),
    )
    round_ = round_of(evaluation, answer.budget, answer.conditions)
    ranking = evaluation.ranking
    lists = lists_of(sites_of(evaluation), round_.option_ids, answer.budget)
    weightings = random_weightings(len(ranking.criteria), WEIGHTINGS, seed)
    sensitivity = sensitivity_of(evaluation, ranges, picks, within)
    by_year = _by_year(evaluation, picks, within)
    cuts = answer.certificate.cuts
    price = price_at_line(round_, cuts, lambda: progress.stopped) if cuts else 0.0
    progress.advance(STEPS_BESIDE)
    found = run_trials(
        evaluation, ranges, answer.budget, answer.conditions, picks, progress,
        trials=trials, seed=seed,
    )  # fmt: skip
    low, median, high = np.quantile(found.benefit_shares, (LOW, 0.5, HIGH)).tolist()
    return HowSure(
        trials=trials,
        inside=found.inside,
        none_possible=found.none_possible,
        weightings=WEIGHTINGS,
        funded=times_funded(lists, ranking.values_millionths, ranking.tie_order, weightings),
        assumed=assumed_ranges(evaluation.catchment),
        benefit=Spread(low, median, high),
        by_year=by_year,
        sensitivity=sensitivity,
        measure=worth_measuring(evaluation, ranges, round_, price),
    )


def _by_year(
    evaluation: Evaluation, picks: Mapping[int, int], progress: Progress
) -> tuple[tuple[int, float], ...]:
    """Give each season-year and the share of its loss that the set avoids."""
    benefit = benefit_in(evaluation, picks, progress).sum(axis=0)
    loss = loss_in(evaluation, progress).sum(axis=0)
    years = evaluation.catchment.records.years
    return tuple(
        (int(year), share_of(float(b), float(each)))
        for year, b, each in zip(years, benefit, loss, strict=True)
    )
