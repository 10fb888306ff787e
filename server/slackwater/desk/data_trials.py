"""In how many of 100 trials is a site in the best set, and what does the chosen set gain in them?

Section 11 of the methods page. In each trial every input is drawn from its range, the river is
prepared anew and a best set is sought again, to within `GAP` of proof: sets that near differ in a
site or two at the line. The bound whose order of installs begins with the chosen set is exact for
it, so what the chosen set gains in a trial comes with the first bound.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.asking import Asking
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.set_benefit import loss_in, mean_of_years, share_of
from slackwater.desk.trial_draws import InputRange, drawn
from slackwater.desk.within import Within
from slackwater.errors import NoSetPossible
from slackwater.progress import Progress

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]
GAP = 5e-3


@dataclass(frozen=True)
class Trials:
    """What came of the trials.

    Attributes
    ----------
    inside : (offtakes,) in how many the site is in the best set.
    none_possible : in how many no set was possible, such as where committed sites cost too much.
    benefit_shares : (trials,) share of the trial's loss that the chosen set avoids.
    """

    inside: Whole
    none_possible: int
    benefit_shares: Numbers


def run_trials(
    evaluation: Evaluation,
    ranges: Mapping[str, InputRange],
    budget: float,
    conditions: Conditions,
    picks: Mapping[int, int],
    progress: Progress,
    *,
    trials: int,
    seed: int,
) -> Trials:
    """Run the trials; the same seed draws the same, whatever their number.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    inside = np.zeros(len(evaluation.best_option), np.int64)
    shares, none_possible = np.zeros(trials), 0
    within = Within(progress)
    for trial in range(trials):
        made = drawn(evaluation, ranges, np.random.default_rng([seed, trial]))
        gains = gains_of(made, within)
        ours = gains.telescoped([picks])
        benefit = ours.constant + sum(float(ours.weights[p, o]) for p, o in picks.items())
        shares[trial] = share_of(benefit, float(mean_of_years(made, loss_in(made, within)).sum()))
        asking = Asking(gains, [ours], lambda: progress.stopped, [(dict(picks), benefit)])
        try:
            best, _, _ = asking.near_best(round_of(made, budget, conditions), GAP)
            inside[list(best)] += 1
        except NoSetPossible:
            none_possible += 1
        progress.advance()
    return Trials(inside, none_possible, shares)
