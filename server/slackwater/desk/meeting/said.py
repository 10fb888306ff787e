"""What is said to a hall at each step? One sentence, short, and true of the numbers behind it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visibility import Viewer, of_contract, of_result, sees
from slackwater.reports.figures import (
    SPACE,
    count_of,
    decimals,
    inside_a_sentence,
    listed,
    money,
    percent,
    tidy,
)
from slackwater.units import flow_in

TITLES = {
    "river": "The river",
    "problem": "What pumps and channels take",
    "screens": "What a screen does",
    "list": "The list",
    "room": "What this room weighs",
    "choice": "The choice",
}
SCREENS = "A screen lets water through and keeps fish in the river, the smallest less surely."
LOSS = "the loss to pumps and channels"
MOST_OF_LIST = 98
"""Letters of the list's sentence that stand large on a wall; a longer one counts its criteria."""
PRODUCED, TAKEN = 0, 4
"""Columns of `Evaluation.balance`."""


def river_said(evaluation: Evaluation, unit: str, largest_m3s: float, river_km: float) -> str:
    """Say how large the river is."""
    count = count_of(len(evaluation.catchment.table("offtakes")), "offtake")
    length = f"{tidy(river_km)}{SPACE}km"
    flow = ""
    if largest_m3s > 0:
        carried = f"{tidy(flow_in(largest_m3s, unit))}{SPACE}{unit}"
        flow = f"; where it is largest it carries {carried} on average"
    return f"{count[0].upper()}{count[1:]} along {length} of river{flow}."


def problem_said(offtakes: int, taken: str, most: Concentrated) -> str:
    """Say what offtakes take of the fish, and how few of them cause half of the loss.

    Parameters
    ----------
    taken : share of the young fish adrift, "" where it is not told.
    """
    take = "takes" if offtakes <= 1 else "take"
    among = ""
    if most.count and offtakes > 1:
        cause = "causes" if most.count == 1 else "cause"
        among = f"; {decimals(most.count)} {cause} {percent(most.share)} of the loss"
    of_what = f"{taken} of young fish adrift" if taken else "water"
    return f"In the model {count_of(offtakes, 'offtake')} {take} {of_what}{among}."


def taken_said(evaluation: Evaluation) -> str:
    """Say which share of the young fish adrift is taken; "" as for `taken_share`."""
    taken = taken_share(evaluation)
    if not taken:
        return ""
    by_kind = ", by kind of fish" if " to " in taken else ""
    return f"{taken} of the young fish adrift{by_kind}"


def taken_share(evaluation: Evaluation) -> str:
    """Give the share of the young fish adrift that is taken, a mean year, from guild to guild.

    Heads of different guilds are never added up: a share of each is true whatever production
    counts. "" where nobody may see them or none drift.
    """
    public = sees(Viewer.PUBLIC, of_result("guild.taken_heads")) and sees(
        Viewer.PUBLIC, of_contract("production", "production")
    )
    drifting = evaluation.balance[evaluation.balance[:, PRODUCED] > 0]
    if not public or not len(drifting):
        return ""
    shares = drifting[:, TAKEN] / drifting[:, PRODUCED]
    least, most = (percent(float(each)) for each in (shares.min(), shares.max()))
    return most if least == most else f"{least} to {most}"


@dataclass(frozen=True)
class Concentrated:
    """The fewest offtakes that cause half of the loss, and their share of it."""

    count: int
    share: float


def half_of_loss(loss_shares: Sequence[float]) -> Concentrated:
    """Give the fewest offtakes with half of the loss; none where nothing is lost."""
    summed = np.cumsum(np.sort(np.asarray(loss_shares, np.float64))[::-1])
    if not len(summed) or summed[-1] <= 0:
        return Concentrated(0, 0.0)
    at = int(np.searchsorted(summed, summed[-1] / 2))
    return Concentrated(at + 1, float(summed[at] / summed[-1]))


def list_said(
    weights: Sequence[tuple[str, int]], inside: int, of: int, budget: float, currency: str
) -> str:
    """Say what orders the list and how far the budget goes down it.

    Parameters
    ----------
    weights : label and whole thousandths of each criterion.
    """
    counted = [label for label, weight in weights if weight]
    names = listed([counted[0], *map(inside_a_sentence, counted[1:])])
    far = f"{money(budget, currency)} reaches {decimals(inside)}"
    told = f"{names} {'ranks' if len(counted) == 1 else 'rank'} {count_of(of, 'offtake')}; {far}."
    if len(told) < MOST_OF_LIST:
        return told
    which = "A criterion ranks" if len(counted) == 1 else f"{len(counted)}{SPACE}criteria rank"
    return f"{which} {count_of(of, 'offtake')}; {far}."


def room_said(tried: int, least: int, inside: int, stays: int) -> str:
    """Say what the weightings tried have in common, or that there are too few to say."""
    if tried < least:
        have = "Nobody has set weights yet"
        if tried:
            have = f"{count_of(tried, 'phone')} {'has' if tried == 1 else 'have'} set weights"
        return f"{have}; what all have in common is shown from {least} on."
    stay = (
        f"{decimals(stays)} stay{'s' if stays == 1 else ''} inside"
        if stays
        else "none stays inside"
    )
    return (
        f"The middle of this room reaches {count_of(inside, 'offtake')}; {stay} under all "
        f"{decimals(tried)} weightings tried here."
    )


def choice_said(
    facts: Mapping[str, Any], budget: float, currency: str, way: str, *, conditions: bool
) -> str:
    """Say what the case does for the river, beside the other way to spend the same money.

    Parameters
    ----------
    conditions : whether the best set keeps to conditions or choices by hand.
    """
    gap, other, at_least = facts["best"]["gap"], "the list by score", ""
    if way == "score":
        other = "the best set under its conditions" if conditions else "the best set"
        at_least = "at least " if gap else ""
    avoided = percent(facts["benefit_share"])
    beside = percent(facts["by_score" if way == "best" else "best"]["benefit_share"])
    screens = count_of(facts["inside"], "offtake")
    return (
        f"For {money(budget, currency)} the case reaches {screens} and avoids {avoided} of {LOSS}; "
        f"{other} avoids {at_least}{beside}."
    )


def trial_said(joins: int, leaves: int, trial_share: float, case_share: float) -> str:
    """Say what a trial changes against the case."""
    moved = "nobody joins or leaves"
    if joins or leaves:
        join, leave = ("s" * (joins <= 1), "s" * (leaves == 1))
        moved = f"{count_of(joins, 'offtake')} join{join} and {decimals(leaves)} leave{leave}"
    return (
        f"In the trial {moved}; it avoids {percent(trial_share)} of the loss, "
        f"the case {percent(case_share)}."
    )


def agreed_said(what: str, inside: int, share: float) -> str:
    """Say what was agreed."""
    which = "the case as it stands" if what == "case" else "the trial"
    return (
        f"Agreed here: {which}, {count_of(inside, 'offtake')} avoiding {percent(share)} of {LOSS}."
    )


def another_said(trial: int, trial_share: float, agreed: int, agreed_share: float) -> str:
    """Say that the trial that is shown is not the set that was agreed.

    Parameters
    ----------
    trial, agreed : offtakes in each.
    """
    return (
        f"This trial is not what was agreed: it avoids {percent(trial_share)} of the loss with "
        f"{count_of(trial, 'offtake')}, the agreed set {percent(agreed_share)} with "
        f"{decimals(agreed)}."
    )


def turn_said(count: int, tried: int, label: str, more: bool) -> str:
    """Say on what an offtake depends; ``label`` is "" where no one criterion tells them apart."""
    funded = f"{decimals(count)} of {decimals(tried)} fund it"
    if not label:
        return f"{funded}; no one criterion tells them apart."
    least = "more" if more else "less"
    return f"{funded}; they give {inside_a_sentence(label)} {least} weight."
