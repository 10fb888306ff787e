"""Who comes in, as people get it: each with what it costs and gains, and one sentence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.best_set import BestSet
from slackwater.decisions.gains import Gains
from slackwater.decisions.rules import Round
from slackwater.desk.best_set_shown import loss_adults
from slackwater.desk.case_words import joined, percent
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.set_benefit import share_of

FIRST_RESERVES = 3
Numbers = NDArray[np.float64]
Picks = Mapping[int, int]


@dataclass(frozen=True)
class Change:
    """A set that one leaves, and what it becomes.

    Attributes
    ----------
    code : who declines, "" for nobody.
    round : what the money that is free was spent under.
    before, stays : position -> option of the set, and of those of it who stay.
    after : the set that those who stay are part of.
    """

    code: str
    round: Round
    before: Picks
    stays: Picks
    after: BestSet


def reserve_values(evaluation: Evaluation, change: Change, gains: Gains) -> dict[str, Any]:
    """Give who comes in, the most for the money first, and who would if there were money."""
    enters = {p: o for p, o in change.after.picks.items() if p not in change.stays}
    leaves = {p: o for p, o in change.before.items() if p not in change.stays}
    taken, _ = gains.single(change.stays)
    _, dropped = gains.single(change.before)
    coming = _listed(evaluation, change, enters, taken[list(enters), list(enters.values())])
    going = _listed(evaluation, change, leaves, -dropped[list(leaves)])
    return {
        "code": change.code,
        "enters": coming,
        "leaves": going,
        "benefit_adults": change.after.benefit,
        "benefit_share": share_of(change.after.benefit, loss_adults(evaluation)),
        "budget": change.round.budget,
        "spent": change.after.spent,
        "first_reserves": _first_reserves(evaluation, change, gains),
        "sentence": _sentence(evaluation, change, coming, going),
    }


def _listed(
    evaluation: Evaluation, change: Change, picks: Picks, gain_adults: Numbers
) -> list[dict[str, Any]]:
    """Give sites with screen, cost and gain, the most for the money first.

    Parameters
    ----------
    gain_adults : (sites,) of the picks, in their order.
    """
    sites, options = change.round.sites, evaluation.catchment.table("options").keys
    loss = loss_adults(evaluation)
    listed = [
        {
            "code": sites[p].offtake_id,
            "option": options[o],
            "cost": sites[p].cost[o],
            "gain_adults": float(gain),
            "gain_share": share_of(float(gain), loss),
        }
        for (p, o), gain in zip(picks.items(), gain_adults, strict=True)
    ]
    return sorted(listed, key=lambda each: (-each["gain_adults"] / each["cost"], each["code"]))


def _first_reserves(evaluation: Evaluation, change: Change, gains: Gains) -> list[dict[str, Any]]:
    """Give the next three, were there money: each at the screen that gains most for its money."""
    taken, _ = gains.single(change.after.picks)
    best: dict[int, tuple[float, int]] = {}
    for each in change.round.choices():
        gain = float(taken[each.site, each.option])
        if each.site not in change.after.picks and gain > 0:
            found = (gain / each.cost, each.option)
            best[each.site] = max(found, best.get(each.site, found))
    first = sorted(best, key=lambda p: (-best[p][0], change.round.sites[p].offtake_id))
    picks = {p: best[p][1] for p in first[:FIRST_RESERVES]}
    return _listed(evaluation, change, picks, taken[list(picks), list(picks.values())])


def _sentence(
    evaluation: Evaluation,
    change: Change,
    coming: Sequence[dict[str, Any]],
    going: Sequence[dict[str, Any]],
) -> str:
    """Say who goes, what that frees, and who comes in."""
    currency = evaluation.catchment.settings.currency or "of money"
    gone = joined([each["code"] for each in going])
    left = change.round.budget - change.after.spent
    freed = sum(each["cost"] for each in going)
    words = [f"Without {gone} {freed:,.0f} {currency} are free" if gone else "Nobody declines"]
    if coming:
        each_gains = [
            f"{each['code']} for {each['cost']:,.0f} (another {percent(each['gain_share'])} of "
            "the loss avoided)"
            for each in coming
        ]
        words.append(f"{joined(each_gains)} {'comes' if len(coming) == 1 else 'come'} in")
    else:
        words.append("nobody comes in, since nothing that would gain fits what is left")
    return f"{'; '.join(words)}. {left:,.0f} {currency} are left over."
