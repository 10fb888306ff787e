"""What would bring a site into the best set, or put it out: which budget, which cost?

Section 11 of the methods page. Figures are round sums of money, and each was solved: at the least
budget the site is in and one step below it is out; at the highest cost it is in and one step above
it is out. A best set need not grow with the budget, so the search goes step by step from where the
site stands, and what it finds is true at that figure, whatever lies between.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.decisions.asking import Asking
from slackwater.decisions.entry_budget import least_budget
from slackwater.decisions.entry_cost import highest_cost
from slackwater.decisions.rules import Round


@dataclass(frozen=True)
class Entry:
    """What it takes for a site to be in the best set.

    Attributes
    ----------
    inside : as things stand.
    option : which it would have at the highest cost, else has; -1 where none.
    cost_now : of that option, to the fund; None where there is no option.
    least_budget : smallest budget at which it is in; None where no budget would do, or none
        matters.
    highest_cost : of that option, all its options as much dearer or cheaper; None likewise.
    why_not : why neither figure would do anything; empty where one does.
    """

    site: int
    inside: bool
    option: int
    cost_now: float | None
    least_budget: float | None
    highest_cost: float | None
    why_not: str


def entry_of(
    round_: Round, asking: Asking, picks: Mapping[int, int], benefit: float, site: int
) -> Entry:
    """Find the budget and the cost at which a site enters the best set, or leaves it.

    Parameters
    ----------
    asking : with the bounds that the best set rests on.
    picks, benefit : the best set, and what it gains.

    Raises
    ------
    Cancelled
        Where ``asking`` was told to stop.
    """
    option, inside = picks.get(site, -1), site in picks
    cost_now = round_.sites[site].cost.get(option)
    why_not = bound_by(round_, site)
    if why_not:
        return Entry(site, inside, option, cost_now, None, None, why_not)
    budget = least_budget(round_, asking, site, inside=inside)
    highest, found = highest_cost(round_, asking, picks, benefit, site)
    option = found if found >= 0 else option
    return Entry(
        site=site,
        inside=inside,
        option=option,
        cost_now=round_.sites[site].cost.get(option),
        least_budget=budget,
        highest_cost=highest,
        why_not="" if budget is not None or highest is not None else "it would gain nothing",
    )


def bound_by(round_: Round, site: int) -> str:
    """Say why neither budget nor cost decides about a site; empty where they do."""
    own, conditions = round_.sites[site], round_.conditions
    if own.offtake_id in conditions.left_out:
        return f"it is left out by hand: {conditions.left_out[own.offtake_id]}"
    if own.committed:
        return "it is accepted, so it is in at any cost that fits"
    if own.left_out or not own.eligible:
        return own.left_out or own.barred
    if own.offtake_id in conditions.kept_in:
        return f"it is kept in by hand: {conditions.kept_in[own.offtake_id]}"
    return next(filter(None, (_bound_with(round_, p) for p in round_.group_of.get(site, ()))), "")


def _bound_with(round_: Round, other: int) -> str:
    """Say why a site of the same group decides for all of it; empty where it does not."""
    name, conditions = round_.sites[other].offtake_id, round_.conditions
    with_it = f"it goes together with {name}, which is"
    if name in conditions.left_out:
        return f"{with_it} left out by hand: {conditions.left_out[name]}"
    if round_.sites[other].committed:
        return f"{with_it} accepted"
    if name in conditions.kept_in:
        return f"{with_it} kept in by hand: {conditions.kept_in[name]}"
    return ""
