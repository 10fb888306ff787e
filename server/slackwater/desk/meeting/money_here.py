"""What does a case's budget buy under somebody's weights, and under the best set?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from threading import Lock

import numpy as np

from slackwater.decisions import score
from slackwater.decisions.best_set import BestSet
from slackwater.decisions.by_score import Site, fund_by_score
from slackwater.desk.best_set_shown import PROVED
from slackwater.desk.funding import benefit_adults, sites_of
from slackwater.desk.funding_desk import Asked
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.listed import Whole, ranked
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.set_benefit import share_of
from slackwater.desk.trial import Trial, trial_of
from slackwater.meeting.weightings import Flags, Weights
from slackwater.progress import Progress

BENEFITS_KEPT = 32


@dataclass(frozen=True)
class SetHere:
    """A set for the case's budget.

    Attributes
    ----------
    rows : of the table of offtakes.
    benefit_share : share of the loss to pumps and channels that it avoids.
    gap : of the best set, how much more another could gain, as a share; 0 where it is proven.
    """

    rows: frozenset[int]
    benefit_share: float
    gap: float = 0.0


class MoneyHere:
    """The budget of one case, spent again and again by score; any thread may ask.

    Hand choices and conditions of the case play no part by score.

    Attributes
    ----------
    trial : the case's own weights, budget and conditions.
    criteria : names, in the order of the weights.
    """

    def __init__(self, case: CaseShown) -> None:
        self.case, self.evaluation = case, case.evaluation
        self.trial: Trial = trial_of(case.trial)
        self.criteria = tuple(self.trial.weights)
        self._sites: list[Site] = sites_of(case.evaluation)
        self._kept, self._sweeping = KeptAnswers(BENEFITS_KEPT), Lock()

    @property
    def own_weights(self) -> Weights:
        """The case's weights."""
        return tuple(self.trial.weights.values())

    def order_of(self, weights: Weights) -> Whole:
        """(offtakes,) rows of the table, best first."""
        return ranked(self.evaluation.ranking, self.named(weights))[1]

    def picks_of(self, weights: Weights) -> Mapping[int, int]:
        """Give row -> option of what the list by score funds.

        Raises
        ------
        NoSetPossible
            Where the committed sites alone cost more than the budget.
        """
        options = self.evaluation.catchment.table("options").keys
        order = self.order_of(weights)
        return dict(fund_by_score(self._sites, order, options, self.trial.budget).picks)

    def inside_of(self, weights: Weights) -> Flags:
        """(offtakes,) who is funded by score."""
        inside = np.zeros(len(self._sites), np.bool_)
        inside[list(self.picks_of(weights))] = True
        return inside

    def benefit_share(self, weights: Weights) -> float:
        """Share of the loss that the list by score avoids; a sweep of the river, kept."""
        with self._sweeping:
            share: float = self._kept.give(weights, lambda: self._benefit_share(weights))
            return share

    def best(self) -> SetHere:
        """Give the best set under the case's conditions: worked out until it is proven, or for a
        minute, as everywhere at the desk; so the same data have the same set.
        """
        asked = Asked(self.trial.budget, self.trial.conditions)
        return self._set(self.case.shown.funding.answer(asked, Progress()).certificate)

    def _set(self, best: BestSet) -> SetHere:
        return SetHere(
            frozenset(best.picks),
            share_of(max(0.0, best.benefit), self.case.loss_adults),
            gap_told(best.gap),
        )

    def _benefit_share(self, weights: Weights) -> float:
        picks = tuple(self.picks_of(weights).items())
        return share_of(benefit_adults(self.evaluation, picks), self.case.loss_adults)

    def named(self, weights: Weights) -> dict[str, int]:
        """Give weights by their criteria."""
        return dict(zip(self.criteria, weights, strict=True))


def shared_out(parts: Sequence[int], whole: int = 1000) -> Weights:
    """Give thousandths in the proportion of some numbers, by largest remainder.

    Parameters
    ----------
    whole : parts that are shared out: 1000, or fewer that divide it, as 100 for whole per cents.
    """
    return tuple((score.shared_out(parts, whole) * (1000 // whole)).tolist())


def gap_told(gap: float | None) -> float:
    """Give a gap as it is told: 0 where the set is proven."""
    return gap if gap is not None and gap > PROVED else 0.0
