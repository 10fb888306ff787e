"""The best set for the budget beside the list by score, as people and files get it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.best_set import BestSet, find_best_set
from slackwater.decisions.by_score import Chosen
from slackwater.decisions.gains import Cut, Gains
from slackwater.decisions.rules import Conditions, Round
from slackwater.decisions.together import priced_together
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import Funded, by_score, funded, sites_of
from slackwater.errors import UsageError
from slackwater.progress import Progress
from slackwater.river.adults import year_weights

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class RiverInAdults:
    """Answers what decisions ask, in adult equivalents, over every guild, year and cohort."""

    evaluation: Evaluation
    progress: Progress

    def worth_adults(self, keeps_out: Numbers) -> Numbers:
        """(assignments,) worth under each of (assignments, guilds, offtakes)."""
        worth = self.evaluation.river.worth(keeps_out, self.progress)
        adults: Numbers = np.einsum("agy,g,y->a", worth, self._per_settler, self._years)
        return adults

    def exposed_adults(self, keeps_above: Numbers, keeps_below: Numbers) -> Numbers:
        """(guilds, offtakes) gain of a share more kept out, other screens as given."""
        exposed = self.evaluation.river.exposed(keeps_above, keeps_below, self.progress)
        adults: Numbers = np.einsum("gyo,g,y->go", exposed, self._per_settler, self._years)
        return adults

    @property
    def _per_settler(self) -> Numbers:
        return self.evaluation.worth.adults_per_settler

    @property
    def _years(self) -> Numbers:
        return year_weights(self.evaluation.catchment)


@dataclass(frozen=True)
class FundingAnswer:
    """What a budget buys, both ways, and the conditions it was asked under."""

    budget: float
    conditions: Conditions
    best: Funded
    certificate: BestSet
    score: Funded


def gains_of(evaluation: Evaluation, progress: Progress) -> Gains:
    """Give what decisions need to ask about sets."""
    efficacy = evaluation.efficacy
    residents = np.einsum(
        "y,gyi,iog->io",
        year_weights(evaluation.catchment),
        evaluation.worth.residents_adults,
        efficacy.resident[None, :-1, :] - efficacy.of_residents(efficacy.fitted).T[:, None, :],
    )
    return Gains(
        river=RiverInAdults(evaluation, progress),
        fitted=efficacy.of_drifters(efficacy.fitted),
        kept=efficacy.drifter[:-1],
        residents=residents,
        feasible=evaluation.sizing.feasible,
    )


def fund(
    evaluation: Evaluation,
    budget: float,
    conditions: Conditions | None = None,
    progress: Progress | None = None,
    *,
    seconds: float = 60.0,
    cuts: Sequence[Cut] = (),
    found: Callable[[BestSet], None] = lambda _: None,
) -> FundingAnswer:
    """Spend a budget: the best set with its bound, and the list by score.

    Parameters
    ----------
    cuts : bounds known from other budgets or conditions of the same evaluation.
    found : is told of each better set on the way.

    Raises
    ------
    UsageError
        Where the budget is no amount of money or a hand choice cannot be made.
    NoSetPossible
        Where the rules clash.
    Cancelled
        Where ``progress`` was told to stop.
    """
    conditions = conditions or Conditions()
    round_ = round_of(evaluation, budget, conditions)
    progress = progress or Progress()
    gains = gains_of(evaluation, progress)
    best = find_best_set(
        round_, gains, seconds=seconds, cuts=cuts, stop=lambda: progress.stopped, found=found
    )
    chosen = Chosen(tuple(best.picks.items()), best.spent)
    return FundingAnswer(
        budget=budget,
        conditions=conditions,
        best=funded(evaluation, round_.sites, chosen),
        certificate=best,
        score=by_score(evaluation, budget),
    )


def round_of(evaluation: Evaluation, budget: float, conditions: Conditions) -> Round:
    """Lay out a funding round of a catchment, groups priced together.

    Raises
    ------
    UsageError
        Where the budget is no amount of money or a district is not known.
    """
    if not np.isfinite(budget) or budget < 0:
        raise UsageError(f"a budget is an amount of 0 or more, not {budget}")
    catchment = evaluation.catchment
    districts = [
        str(name) or f"{offtake_id} alone"
        for name, offtake_id in zip(
            catchment.table("offtakes").text("district"),
            catchment.table("offtakes").keys,
            strict=True,
        )
    ]
    _check_districts(conditions, set(districts))
    options = catchment.table("options").keys
    sites = priced_together(sites_of(evaluation), conditions.together)
    return Round(sites, districts, options, budget, conditions)


def _check_districts(conditions: Conditions, known: set[str]) -> None:
    for shares in (conditions.district_least, conditions.district_most):
        for district, share in shares.items():
            if district not in known:
                raise UsageError(f"no offtake lies in a district {district!r}")
            if not 0 <= share <= 1:
                raise UsageError(f"{district}: a share of the budget is 0 to 1, not {share:g}")


def conditions_of(
    keep_in: Sequence[str] = (),
    leave_out: Sequence[str] = (),
    district_least: Sequence[str] = (),
    district_most: Sequence[str] = (),
    most_installs: int | None = None,
    together: Sequence[str] = (),
) -> Conditions:
    """Read hand choices written as ``CODE=REASON``, shares of the budget as ``DISTRICT=SHARE``.

    Groups that go together are written ``CODE,CODE``.

    Raises
    ------
    UsageError
        Where a reason is missing or a share is none.
    """
    return Conditions(
        kept_in=_reasons(keep_in),
        left_out=_reasons(leave_out),
        district_least=_shares(district_least),
        district_most=_shares(district_most),
        most_installs=most_installs,
        together=tuple(tuple(code.strip() for code in text.split(",")) for text in together),
    )


def _reasons(written: Sequence[str]) -> dict[str, str]:
    reasons: dict[str, str] = {}
    for text in written:
        code, _, reason = text.partition("=")
        if not reason.strip():
            raise UsageError(f"{code}: a hand choice needs a written reason, CODE=REASON")
        reasons[code] = reason
    return reasons


def _shares(written: Sequence[str]) -> dict[str, float]:
    shares: dict[str, float] = {}
    for text in written:
        district, _, share = text.rpartition("=")
        try:
            shares[district] = float(share)
        except ValueError:
            raise UsageError(
                f"{text}: a share of the budget is written DISTRICT=SHARE, such as Upper=0.25"
            ) from None
    return shares


def fund_values(evaluation: Evaluation, answer: FundingAnswer) -> dict[str, Any]:
    """Give the content of ``slackwater fund --json``, full precision."""
    return {
        "data_version": evaluation.catchment.data_version,
        "budget": answer.budget,
        **_set_values(answer.best),
        "upper_bound_adults": answer.certificate.upper_bound,
        "gap": answer.certificate.gap,
        "by_score": _set_values(answer.score),
        "left_out": [{"offtake_id": i, "reason": why} for i, why in answer.best.left_out],
    }


def _set_values(funded_set: Funded) -> dict[str, Any]:
    return {
        "spent": funded_set.spent,
        "benefit_adults": funded_set.benefit_adults,
        "chosen": [
            {"offtake_id": offtake_id, "option_id": option_id, "cost": cost}
            for offtake_id, option_id, cost in funded_set.chosen
        ],
    }
