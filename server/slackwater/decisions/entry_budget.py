"""At which budget does a site enter the best set, or leave it?

Found among round sums near where the site stands: in at that sum, out one step below. A best set
need not grow with its budget, so further down a site may be in and out again.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import replace
from math import ceil, floor

from slackwater.decisions.asking import Asking
from slackwater.decisions.budget_line import budget_line
from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.money import money_step
from slackwater.decisions.rules import Round
from slackwater.errors import NoSetPossible

FAR = 0.1
COARSE = 5
"""Budgets are found in steps of so many in the third figure: 2,500,000, then 2,550,000."""


def least_budget(round_: Round, asking: Asking, site: int, *, inside: bool) -> float | None:
    """Give the least round budget at which a site is in; None where none would do.

    Parameters
    ----------
    inside : whether it is in at the round's own budget; the search goes down from there, else up.
    """
    step = COARSE * money_step(round_.budget)
    now = floor(round_.budget / step * (1 + EQUAL))
    all_in = sum(max(each.cost.values(), default=0.0) for each in round_.sites)
    lowest, highest = (0, now) if inside else (now + 1, now + 1 + ceil(all_in / step))

    def pays(at: int) -> bool:
        try:
            line = budget_line(replace(round_, budget=at * step), asking.cuts, asking.stop)
        except ArithmeticError:  # so little that no set keeps the rules
            return False
        return bool(line.worth[site] > 0)

    def is_in(at: int) -> bool:
        try:
            return site in asking.near_best(replace(round_, budget=at * step), EQUAL)[0]
        except NoSetPossible:
            return False

    guess = lowest + bisect_left(range(lowest, highest), True, key=pays)
    if abs(guess * step - round_.budget) > FAR * round_.budget:  # bounds are near only where made
        asking.look_along(replace(round_, budget=guess * step))
        guess = lowest + bisect_left(range(lowest, highest), True, key=pays)
    found = least_step(is_in, guess, lowest, highest)
    if found is None:  # in at the budget itself, out at the round sum just below
        return round_.budget if inside else None
    return found * step


def least_step(is_in: Callable[[int], bool], guess: int, lowest: int, highest: int) -> int | None:
    """Give a step that is in with the one below it out, near a guess.

    None where even the highest is out; the lowest where it is in itself.
    """
    at, stride = min(max(guess, lowest), highest), 1
    if is_in(at):
        within, below = at, at - 1
        while below >= lowest and is_in(below):
            within, stride = below, 2 * stride
            below = max(within - stride, lowest - 1)
    else:
        below, within = at, at + 1
        while within <= highest and not is_in(within):
            below, stride = within, 2 * stride
            within = min(below + stride, highest) if below < highest else highest + 1
        if within > highest:
            return None
    while within - below > 1:
        middle = (within + below) // 2
        within, below = (middle, below) if is_in(middle) else (within, middle)
    return within
