"""What does a case's budget buy under somebody's weights, and under the best set?"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from threading import Lock

import numpy as np

from slackwater.decisions.best_set import BestSet
from slackwater.decisions.by_score import Site, fund_by_score
from slackwater.decisions.score import to_thousandths
from slackwater.desk.funding import benefit_adults, sites_of
from slackwater.desk.funding_desk import Asked
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.listed import Whole, ranked
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.set_benefit import share_of
from slackwater.desk.trial import Trial, trial_of
from slackwater.errors import Cancelled
from slackwater.meeting.weightings import Flags, Weights
from slackwater.progress import Progress

BENEFITS_KEPT = 32


class LongEnough(Progress):
    """Progress of a search that stops by itself, once its time is over and a set was found.

    Attributes
    ----------
    found : sets, each better than the one before.
    """

    def __init__(self, seconds: float) -> None:
        super().__init__()
        self._end = time.monotonic() + seconds
        self.found: list[BestSet] = []

    def advance(self, units: int = 1) -> None:
        """Check in.

        Raises
        ------
        Cancelled
            Where it has been long enough.
        """
        super().advance(units)
        if self.stopped:
            raise Cancelled("long enough")

    @property
    def stopped(self) -> bool:
        """Whether it has been long enough."""
        return bool(self.found) and time.monotonic() >= self._end


@dataclass(frozen=True)
class SetHere:
    """A set for the case's budget.

    Attributes
    ----------
    rows : of the table of offtakes.
    benefit_share : share of the loss to pumps that it avoids.
    """

    rows: frozenset[int]
    benefit_share: float


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
        return ranked(self.evaluation.ranking, self._named(weights))[1]

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
        """Share of the loss to pumps that the list by score avoids; a sweep of the river, kept."""
        with self._sweeping:
            share: float = self._kept.give(weights, lambda: self._benefit_share(weights))
            return share

    def best(self, within_s: float) -> SetHere:
        """Give the best set under the case's conditions; the best one found where time runs out."""
        asked, search = Asked(self.trial.budget, self.trial.conditions), LongEnough(within_s)
        try:
            best = self.case.shown.funding.answer(asked, search, search.found.append).certificate
        except Cancelled:
            best = search.found[-1]
        return self._set(best)

    def _set(self, best: BestSet) -> SetHere:
        return SetHere(
            frozenset(best.picks), share_of(max(0.0, best.benefit), self.case.loss_adults)
        )

    def _benefit_share(self, weights: Weights) -> float:
        picks = tuple(self.picks_of(weights).items())
        return share_of(benefit_adults(self.evaluation, picks), self.case.loss_adults)

    def _named(self, weights: Weights) -> dict[str, int]:
        return dict(zip(self.criteria, weights, strict=True))


def shared_out(parts: Sequence[int]) -> Weights:
    """Give whole thousandths in the proportion of some numbers, by largest remainder."""
    return tuple(to_thousandths(parts).tolist())
