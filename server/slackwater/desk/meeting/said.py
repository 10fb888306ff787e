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
SCREENS = (
    "A screen lets the water through and keeps fish in the river, the smallest less surely; "
    "this list ranks sites, it designs no screen."
)
MOST_CRITERIA_NAMED = 4
MOST_OF_LABEL = 24
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


def problem_said(pumps: int, channels: int, taken: str, most: Concentrated) -> str:
    """Say who takes water, what that takes of the fish, and how few of them make up half of it."""
    takers = [count_of(n, what) for n, what in ((pumps, "pump"), (channels, "channel")) if n]
    who = listed(takers) or "no offtake"
    take = "takes" if pumps + channels <= 1 else "take"
    among = ""
    if most.count and pumps + channels > 1:
        make = "makes" if most.count == 1 else "make"
        few = count_of(most.count, "offtake")
        among = f"; {few} {make} up {percent(most.share)} of the loss"
    return f"In the model, {who} {take} {taken or 'water'}{among}."


def taken_said(evaluation: Evaluation) -> str:
    """Say which share of the young fish adrift is taken, a mean year, from guild to guild.

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
    if least == most:
        return f"{most} of the young fish adrift"
    return f"{least} to {most} of the young fish adrift, by kind of fish"


@dataclass(frozen=True)
class Concentrated:
    """The fewest offtakes that make up half of the loss to pumps, and their share of it."""

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
    counted = [(label, weight) for label, weight in weights if weight]
    if len(counted) > MOST_CRITERIA_NAMED or any(len(each) > MOST_OF_LABEL for each, _ in counted):
        ordered = f"by {len(counted)}{SPACE}criteria"
    else:
        parts = [f"{percent(w / 1000)} by {inside_a_sentence(each)}" for each, w in counted]
        ordered = listed(parts)
    paid, among = money(budget, currency), count_of(of, "offtake")
    return f"Ranked {ordered}; in that order {paid} reaches {decimals(inside)} of {among}."


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
    among = f"among the {decimals(tried)} weightings tried here"
    return f"Under these weights {count_of(inside, 'offtake')}; {stay} {among}."


def choice_said(
    facts: Mapping[str, Any], budget: float, currency: str, way: str, *, conditions: bool
) -> str:
    """Say what the case does for the river, beside the other way to spend the same money.

    Parameters
    ----------
    conditions : whether the best set keeps to conditions or choices by hand.
    """
    other = "the list by score"
    if way == "score":
        other = "the best set found under its conditions" if conditions else "the best set found"
    avoided = percent(facts["benefit_share"])
    beside = percent(facts["by_score" if way == "best" else "best"]["benefit_share"])
    screens = count_of(facts["inside"], "offtake")
    return (
        f"Inside {money(budget, currency)} the case has {screens} and avoids {avoided} of the loss "
        f"to pumps; {other} avoids {beside}."
    )


def trial_said(joins: int, leaves: int, trial_share: float, case_share: float) -> str:
    """Say what a trial changes against the case."""
    moved = "nobody joins or leaves"
    if joins or leaves:
        join, leave = ("s" * (joins == 1), "s" * (leaves == 1))
        moved = f"{decimals(joins)} join{join} and {decimals(leaves)} leave{leave}"
    return (
        f"In the trial {moved}; it avoids {percent(trial_share)} of the loss to pumps, "
        f"the case {percent(case_share)}."
    )


def agreed_said(what: str, inside: int, share: float) -> str:
    """Say what was agreed."""
    which = "the case as it stands" if what == "case" else "the trial"
    return (
        f"Agreed here: {which}, {count_of(inside, 'offtake')} avoiding {percent(share)} "
        "of the loss to pumps."
    )


def turn_said(count: int, tried: int, label: str, more: bool) -> str:
    """Say on what a site depends; ``label`` is "" where no one criterion tells them apart."""
    funded = f"{decimals(count)} of {decimals(tried)} fund it"
    if not label:
        return f"{funded}; no one criterion tells them apart."
    least = "more" if more else "less"
    return f"{funded}; they give {inside_a_sentence(label)} {least} weight."
