"""Up to which cost is a site in the best set, at this budget?

All options of the site are made dearer or cheaper alike. Whatever the site costs, the best set
without it gains the same: the site is in while some set with it gains more, so one cost divides
in from out.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, inf

from slackwater.decisions.asking import Asking
from slackwater.decisions.budget_line import BudgetLine, budget_line
from slackwater.decisions.by_score import EQUAL, cost_of
from slackwater.decisions.changed_rounds import held, with_cost
from slackwater.decisions.money import money_step
from slackwater.decisions.rules import Round

LEAST = 1e-6
"""A cost of so small a share of itself is none."""


def highest_cost(
    round_: Round, asking: Asking, picks: Mapping[int, int], benefit: float, site: int
) -> tuple[float | None, int]:
    """Give the highest round cost at which a site is in, and the option (-1: none) it is of.

    None where no cost above nothing would do.
    """
    cost = round_.sites[site].cost
    option, low = picks.get(site, -1), 0.0
    if min(cost.values()) <= 0:
        return None, option
    than = benefit
    if option >= 0:
        low = _stretched(round_, picks, site)
        _, than, _ = asking.near_best(held(round_, site, inside=False), EQUAL)
    line = budget_line(round_, asking.cuts, asking.stop)
    room = line.bound_without(site) - than
    high = min(round_.budget / min(cost.values()), _paying(line, site, cost, room))
    trial = _paying(line, site, cost, 0.0)
    while not _settled(low, high, cost.get(option)):
        at = trial if low < trial < high else (low + high) / 2
        found = asking.better(held(with_cost(round_, site, at), site, inside=True), than)
        if found is None:
            high = at
        else:
            low, option = max(at, _stretched(round_, found[0], site)), found[0][site]
    if option < 0:
        return None, option
    step = money_step(low * cost[option])
    return floor(low * cost[option] / step * (1 + EQUAL)) * step or None, option


def _stretched(round_: Round, picks: Mapping[int, int], site: int) -> float:
    """Give by how much a site may be dearer until the set no longer fits; 0 where districts bind.

    A set gains the same whatever it costs.
    """
    if round_.conditions.district_least or round_.conditions.district_most:
        return 0.0
    own = round_.sites[site].cost[picks[site]]
    return (round_.budget - cost_of(round_.sites, picks) + own) / own


def _paying(line: BudgetLine, site: int, cost: Mapping[int, float], room: float) -> float:
    """Give by how much a site may be dearer until no option gains what it is charged, and room."""
    return max(
        (line.gain[site, o] + room) / line.charge[site, o] if line.charge[site, o] > 0 else inf
        for o in cost
    )


def _settled(low: float, high: float, money: float | None) -> bool:
    """Whether no round sum lies between two multiples of a cost."""
    if high <= LEAST or high - low <= EQUAL * high:
        return True
    if money is None:
        return False
    step = money_step(high * money)
    return floor(low * money / step * (1 + EQUAL)) == floor(high * money / step * (1 - EQUAL))
