"""Which offtakes does the list by score fund? In order of rank while the money lasts.

Section 10 of the methods page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import NoSetPossible

Numbers = NDArray[np.float64]
EQUAL = 1e-9


@dataclass(frozen=True)
class Site:
    """One offtake as a candidate for money; options are positions, -1 for none.

    Attributes
    ----------
    committed : accepted, so in the set with its cost counted.
    eligible : may be chosen (willing not no, not built, declined or committed, has an option).
    quote_option : the option of its quote, where feasible; best_option : by score's choice.
    cost : option position -> cost to the fund, for the feasible ones.
    left_out : why an accepted site is left out all the same; empty where it is not.
    barred : why the site may not be chosen; empty where it may.
    mobilisation : option position -> what of its cost is mobilisation; none where it has a quote.
    """

    offtake_id: str
    committed: bool
    eligible: bool
    quote_option: int
    best_option: int
    cost: dict[int, float]
    left_out: str = ""
    barred: str = ""
    mobilisation: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Chosen:
    """What is funded: (site position, option position) in order of taking, and what it costs."""

    picks: tuple[tuple[int, int], ...]
    spent: float


def fits(cost: float, budget: float) -> bool:
    """Whether a cost is within the budget, to 1e-9 relative."""
    return cost <= budget * (1 + EQUAL)


def committed_at_least(sites: Sequence[Site], option_ids: Sequence[str]) -> dict[int, int]:
    """Give each committed site its quote's option, else its cheapest."""
    return {
        position: site.quote_option
        if site.quote_option >= 0
        else min(site.cost, key=lambda o: (site.cost[o], option_ids[o]))
        for position, site in enumerate(sites)
        if site.committed
    }


def cost_of(sites: Sequence[Site], picks: Mapping[int, int]) -> float:
    """Add costs one after another, as the browser does; ``sum`` may round otherwise."""
    total = 0.0
    for position, option in picks.items():
        total += sites[position].cost[option]
    return total


def fund_by_score(
    sites: Sequence[Site],
    order: NDArray[np.int64],
    option_ids: Sequence[str],
    budget: float,
) -> Chosen:
    """Take committed sites first, then eligible ones in order of rank while their cost fits.

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    """
    best = [site.best_option for site in sites]
    return fund_in_order(sites, order, best, option_ids, budget)


def fund_in_order(
    sites: Sequence[Site],
    order: NDArray[np.int64],
    option: Sequence[int],
    option_ids: Sequence[str],
    budget: float,
) -> Chosen:
    """Do the same in any order, with any option a site (-1: passed over).

    Raises
    ------
    NoSetPossible
        Where the committed sites alone cost more than the budget.
    """
    cheapest = committed_at_least(sites, option_ids)
    picks = {
        p: sites[p].best_option if sites[p].quote_option < 0 <= sites[p].best_option else o
        for p, o in cheapest.items()
    }
    spent = cost_of(sites, picks)
    if not fits(spent, budget):
        picks = cheapest
        spent = cost_of(sites, picks)
    if not fits(spent, budget):
        raise NoSetPossible([{"rule": "committed", "short_by": spent - budget}])
    for p in order:
        site = sites[p]
        if site.eligible and option[p] >= 0:
            cost = site.cost[option[p]]
            if fits(spent + cost, budget):
                picks[int(p)] = option[p]
                spent += cost
    return Chosen(tuple(picks.items()), spent)
