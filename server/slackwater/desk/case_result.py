"""What comes of a trial, as a case keeps it: every offtake's row, the money, and how sure it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from slackwater.decisions.by_score import Site
from slackwater.decisions.options import NONE
from slackwater.desk.best_set_shown import loss_adults
from slackwater.desk.case_words import headline
from slackwater.desk.certificate import certificate_values
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.fund_columns import by_score_options, why_not_funded
from slackwater.desk.funding import benefit_adults, sites_of
from slackwater.desk.funding_desk import Asked
from slackwater.desk.listed import Listed, list_by_score
from slackwater.desk.long_work import Values
from slackwater.desk.set_benefit import share_of
from slackwater.desk.showing import Shown
from slackwater.desk.trial import Trial, Way
from slackwater.progress import Progress


@dataclass(frozen=True)
class _Set:
    """The set of the way shown: position -> option and cost, and what is known of it."""

    picks: Mapping[int, int]
    costs: Mapping[int, float]
    spent: float
    benefit_adults: float
    close: frozenset[int]
    promise: str = ""
    upper_bound_adults: float | None = None
    gap: float | None = None
    certificate: Values | None = None

    def cost_at(self, position: int) -> dict[int, float]:
        """Give option -> cost of a site in the set; nothing of another."""
        if position not in self.picks:
            return {}
        return {self.picks[position]: self.costs[position]}


def result_of(shown: Shown, trial: Trial, progress: Progress) -> dict[str, Any]:
    """Work out a trial that was checked.

    Raises
    ------
    NoSetPossible
        Where the rules clash.
    Cancelled
        Where ``progress`` was told to stop.
    """
    evaluation = shown.view.evaluation
    sites = sites_of(evaluation)
    options = evaluation.catchment.table("options").keys
    listed = list_by_score(evaluation.ranking, sites, options, trial.weights, trial.budget)
    by_score = _by_score(evaluation, sites, listed)
    found = by_score if trial.way is Way.SCORE else _best(shown, trial, progress)
    share = share_of(found.benefit_adults, loss_adults(evaluation))
    told = headline(
        count=len(found.picks),
        spent=found.spent,
        budget=trial.budget,
        benefit_share=share,
        currency=evaluation.catchment.settings.currency,
        close=len(found.close),
    )
    return {
        "rows": _rows(evaluation, sites, trial, listed, found),
        "spent": found.spent,
        "budget": trial.budget,
        "inside_count": len(found.picks),
        "benefit_adults": found.benefit_adults,
        "benefit_share": share,
        "close_call_count": len(found.close),
        "upper_bound_adults": found.upper_bound_adults,
        "gap": found.gap,
        "by_score": {"spent": by_score.spent, "benefit_adults": by_score.benefit_adults},
        "certificate": found.certificate,
        "sentence": f"{told} {found.promise}".strip(),
    }


def _by_score(evaluation: Evaluation, sites: list[Site], listed: Listed) -> _Set:
    costs = {p: sites[p].cost[o] for p, o in listed.picks.items()}
    gained = benefit_adults(evaluation, tuple(listed.picks.items()))
    return _Set(listed.picks, costs, listed.spent, gained, listed.close)


def _best(shown: Shown, trial: Trial, progress: Progress) -> _Set:
    """Find the best set with its close calls, through the desk that knows bounds already."""
    asked = Asked(trial.budget, trial.conditions)
    found = shown.funding.best_set(asked)(progress, lambda _: None)
    answer = shown.funding.answer(asked, progress)
    return _Set(
        picks=dict(zip(found["rows"], found["options"], strict=True)),
        costs=dict(zip(found["rows"], found["costs"], strict=True)),
        spent=found["spent"],
        benefit_adults=found["benefit_adults"],
        close=frozenset(call["row"] for call in found["close_calls"]),
        promise=found["sentence"],
        upper_bound_adults=found["upper_bound_adults"],
        gap=found["gap"],
        certificate=certificate_values(shown.view.evaluation, answer),
    )


def _rows(
    evaluation: Evaluation, sites: list[Site], trial: Trial, listed: Listed, found: _Set
) -> list[dict[str, Any]]:
    """Give every offtake in order of rank; shares are of the whole loss to pumps."""
    option = by_score_options(evaluation, sites)
    option = np.where(option == NONE, evaluation.best_option, option)
    option[list(found.picks)] = list(found.picks.values())
    rank, loss = listed.rank, loss_adults(evaluation)
    return [
        {
            "code": sites[p].offtake_id,
            "rank": int(rank[p]),
            "score": int(listed.score[p]) / 1e9,
            **_standing(sites[p], trial, inside=p in found.picks),
            "committed": sites[p].committed,
            **_screen(evaluation, p, int(option[p]), {**sites[p].cost, **found.cost_at(p)}),
            "loss_share": share_of(float(evaluation.loss_adults[p]), loss),
            "close_call": p in found.close,
        }
        for p in listed.order.tolist()
    ]


def _standing(site: Site, trial: Trial, *, inside: bool) -> dict[str, str]:
    """Say where a site stands and, where it is no question of money, why."""
    code, by_hand, why_not = site.offtake_id, "", ""
    reason = "" if inside else why_not_funded(site) or ""
    if trial.way is Way.BEST and code in trial.kept_in:
        by_hand = "kept_in"
    elif trial.way is Way.BEST and code in trial.left_out:
        by_hand = "left_out"
        why_not = f"left out by hand: {trial.left_out[code]}"
    state = "inside" if inside else "not_in_round" if reason else "outside"
    return {"state": state, "why_not": why_not or reason, "by_hand": by_hand}


def _screen(
    evaluation: Evaluation, offtake: int, option: int, cost: Mapping[int, float]
) -> dict[str, Any]:
    """Give the screen a site has in the set, else its best one, what it costs and gains alone."""
    if option == NONE:
        return {"option": None, "cost": None, "gain_share": 0.0}
    gain = float(evaluation.gain_adults[offtake, option])
    return {
        "option": evaluation.catchment.table("options").keys[option],
        "cost": cost.get(option),
        "gain_share": share_of(gain, loss_adults(evaluation)),
    }
