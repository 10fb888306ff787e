"""What a budget buys, asked again and again at one desk: each answer helps the next.

Bounds of what sets gain rest on the river alone, so those found for one budget or one hand choice
hold for every other; they are kept, and the next search starts from them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from threading import Lock

from slackwater.decisions.best_set import BestSet
from slackwater.decisions.close_calls import CloseCall
from slackwater.decisions.gains import Cut
from slackwater.decisions.rules import Conditions, Round
from slackwater.desk.benefit_curve import curve_values
from slackwater.desk.best_funding import FundingAnswer, fund, round_of
from slackwater.desk.best_set_shown import beside_values, best_set_values
from slackwater.desk.brings_in import brings_in, close_calls_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.how_sure import how_sure
from slackwater.desk.how_sure_shown import close_call_values, entry_values, how_sure_values
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.long_work import Tell, Values, Work
from slackwater.desk.within import Within
from slackwater.errors import UsageError
from slackwater.progress import Progress

CUTS_KEPT = 30
ANSWERS_KEPT = 32


@dataclass(frozen=True)
class Asked:
    """A budget, the conditions it is spent under, and a list by score to set beside it.

    Attributes
    ----------
    beside : offtake rows that the list by score funds, each at its best option.
    """

    budget: float
    conditions: Conditions = field(default_factory=Conditions)
    beside: tuple[int, ...] = ()

    @property
    def key(self) -> str:
        """All that the best set follows from."""
        return repr((self.budget, self.conditions))


class FundingDesk:
    """One catchment's funding, for as long as its evaluation stands."""

    def __init__(self, evaluation: Evaluation) -> None:
        self._evaluation = evaluation
        self._cuts: tuple[Cut, ...] = ()
        self._lock = Lock()
        self._answers = KeptAnswers(ANSWERS_KEPT)

    def best_set(self, asked: Asked) -> Work:
        """Give the work of finding the best set and its close calls; first answers come before.

        Raises
        ------
        UsageError
            Where the budget is no amount of money, or a choice cannot be made.
        """
        round_ = self._round(asked)

        def work(progress: Progress, tell: Tell) -> Values:
            beside = self._beside(asked)

            def shown(best: BestSet, calls: Sequence[CloseCall] | None, *, final: bool) -> Values:
                values = best_set_values(self._evaluation, round_, best, final=final)
                listed = None if calls is None else close_call_values(calls)
                return {**values, "beside": beside, "close_calls": listed}

            found = self.answer(asked, progress, lambda best: tell(shown(best, None, final=False)))
            tell(shown(found.certificate, None, final=True))
            cuts = list(found.certificate.cuts)
            calls = close_calls_of(self._evaluation, found, cuts, progress)
            self.remember(cuts)
            return shown(found.certificate, calls, final=True)

        return work

    def curve(self, asked: Asked) -> Work:
        """Give the work of benefit against budget, other orders beside it."""
        self._round(asked)

        def work(progress: Progress, _tell: Tell) -> Values:
            key = ("curve", repr(asked.conditions))
            values: Values = self._answers.give(
                key, lambda: curve_values(self._evaluation, asked.conditions, progress)
            )
            return values

        return work

    def how_sure(self, asked: Asked) -> Work:
        """Give the work of saying what the best set depends on."""
        self._round(asked)

        def work(progress: Progress, _tell: Tell) -> Values:
            def work_out() -> Values:
                answer = self.answer(asked, Within(progress))
                return how_sure_values(how_sure(self._evaluation, answer, progress))

            values: Values = self._answers.give(("how sure", asked.key), work_out)
            return values

        return work

    def entry(self, asked: Asked, offtake_id: str) -> Work:
        """Give the work of finding what would bring an offtake into the best set, or out of it.

        Raises
        ------
        UsageError
            Where there is no such offtake.
        """
        self._round(asked)
        if offtake_id not in self._evaluation.catchment.table("offtakes").index:
            raise UsageError("there is no such offtake here")

        def work(progress: Progress, _tell: Tell) -> Values:
            cuts = list(self._cuts)
            entry = brings_in(
                self._evaluation, asked.budget, asked.conditions, offtake_id, cuts, progress
            )
            self.remember(cuts)
            return entry_values(self._evaluation, entry)

        return work

    def answer(
        self, asked: Asked, progress: Progress, found: Callable[[BestSet], None] = lambda _: None
    ) -> FundingAnswer:
        """Find the best set, from what is known of sets already; kept."""

        def work_out() -> FundingAnswer:
            answer = fund(
                self._evaluation,
                asked.budget,
                asked.conditions,
                progress,
                cuts=self._cuts,
                found=found,
            )
            self.remember(answer.certificate.cuts)
            return answer

        answer: FundingAnswer = self._answers.give(("best set", asked.key), work_out)
        return answer

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Bounds known so far of what sets gain."""
        return self._cuts

    def remember(self, cuts: Sequence[Cut]) -> None:
        """Keep bounds for what is asked next; too many would make each search slower."""
        with self._lock:
            known = {id(cut): cut for cut in (*reversed(cuts), *self._cuts)}
            self._cuts = tuple(known.values())[:CUTS_KEPT]

    def _round(self, asked: Asked) -> Round:
        round_ = round_of(self._evaluation, asked.budget, asked.conditions)
        round_.choices()
        best_option = self._evaluation.best_option
        if any(not 0 <= row < len(best_option) or best_option[row] < 0 for row in asked.beside):
            raise UsageError("the list to set beside names a row without a best option")
        return round_

    def _beside(self, asked: Asked) -> Values | None:
        """Give what the list by score gains; None where none was sent."""
        if not asked.beside:
            return None
        return beside_values(self._evaluation, asked.beside)


def asked_of(
    *,
    budget: float,
    kept_in: Mapping[str, str],
    left_out: Mapping[str, str],
    district_least: Mapping[str, float],
    district_most: Mapping[str, float],
    most_installs: int | None,
    beside: Sequence[int],
    together: Sequence[Sequence[str]] = (),
) -> Asked:
    """Read what was asked from plain values."""
    groups = tuple(tuple(group) for group in together)
    conditions = Conditions(kept_in, left_out, district_least, district_most, most_installs, groups)
    return Asked(budget, conditions, tuple(beside))
