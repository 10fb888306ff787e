"""Plans over several rounds against trying all of them."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from slackwater.decisions.best_set import find_best_set
from slackwater.decisions.gains import Gains
from slackwater.decisions.rounds import Plan, plan_rounds
from slackwater.decisions.rules import Round
from slackwater.errors import Cancelled, NoSetPossible
from tests.bench.trees import STRONG, make_funding

RATE = 0.07


def best_of_all_plans(
    round_: Round,
    gains: Gains,
    budgets: list[float],
    keeps: Callable[[dict[int, int]], bool] = lambda _: True,
) -> float:
    """The largest discounted sum of any plan that keeps every round's budget.

    ``keeps`` says of site -> round whether that keeps the rules.
    """
    options = [
        [None, *[(t, o) for t in range(len(budgets)) for o in site.cost]] for site in round_.sites
    ]
    gained: dict[tuple[tuple[int, int], ...], float] = {}
    best = -np.inf
    for plan in itertools.product(*options):
        taken = [(p, *when) for p, when in enumerate(plan) if when is not None]
        if not keeps({p: at for p, at, _ in taken}):
            continue
        costs = [sum(round_.sites[p].cost[o] for p, at, o in taken if at == t)
                 for t in range(len(budgets))]  # fmt: skip
        if any(cost > most * (1 + 1e-9) for cost, most in zip(costs, budgets, strict=True)):
            continue
        total = 0.0
        for t in range(len(budgets)):
            held = tuple((p, o) for p, at, o in taken if at <= t)
            if held not in gained:
                gained[held] = float(gains.benefit([dict(held)])[0])
            total += gained[held] / (1 + RATE) ** t
        best = max(best, total)
    return best


def check(plan: Plan, round_: Round, gains: Gains, budgets: list[float]) -> None:
    """A plan's numbers follow from what it adds, and each round keeps its budget."""
    held: dict[int, int] = {}
    for t, new in enumerate(plan.added):
        assert not held.keys() & new.keys()
        held.update(new)
        assert plan.costs[t] == pytest.approx(sum(round_.sites[p].cost[o] for p, o in new.items()))
        assert plan.costs[t] <= budgets[t] * (1 + 1e-9)
        assert plan.benefits[t] == pytest.approx(gains.benefit([held])[0])
    factors = (1 + RATE) ** -np.arange(len(budgets))
    assert plan.discounted == pytest.approx(factors @ plan.benefits)


@pytest.mark.parametrize(("seed", "rounds"), [*((s, 2) for s in range(12)), (0, 3), (1, 3), (2, 3)])
def test_the_plan_is_the_best_of_all(seed: int, rounds: int) -> None:
    """For few offtakes the discounted sum is the best of every plan, and the bound says so."""
    sites = 5 if rounds == 2 else 4
    funding = make_funding(sites, seed, shares=STRONG, options=2)
    rng = np.random.default_rng(seed)
    dearest = sum(max(site.cost.values(), default=0.0) for site in funding.round.sites)
    budgets = list(rng.uniform(0.2, 0.5, rounds) * dearest)
    plan = plan_rounds(funding.round, funding.gains, budgets, RATE)
    check(plan, funding.round, funding.gains, budgets)
    best = best_of_all_plans(funding.round, funding.gains, budgets)
    assert plan.discounted == pytest.approx(best, rel=1e-6)
    assert plan.upper_bound >= best * (1 - 1e-9)
    assert plan.gap <= 1e-6


def test_one_round_is_the_best_set() -> None:
    """A plan of one round gains what the best set for its budget gains."""
    funding = make_funding(40, 2, shares=STRONG)
    best = find_best_set(funding.round, funding.gains)
    plan = plan_rounds(funding.round, funding.gains, [funding.round.budget], RATE)
    assert plan.discounted == pytest.approx(best.benefit, rel=1e-6)


def test_a_larger_plan_is_bounded_and_stops_when_told() -> None:
    """On an invented tree the plan keeps its budgets under a printed gap; told, it is cancelled."""
    funding = make_funding(60, 4)
    budgets = [funding.round.budget] * 3
    plan = plan_rounds(funding.round, funding.gains, budgets, RATE, gap=5e-3)
    check(plan, funding.round, funding.gains, budgets)
    assert 0.0 <= plan.gap <= 5e-3
    with pytest.raises(Cancelled):
        plan_rounds(funding.round, funding.gains, budgets, RATE, stop=lambda: True)


def test_what_is_committed_comes_first_or_nothing_does() -> None:
    """Committed sites are in from the first round; a first budget short of them is a clash."""
    funding = make_funding(5, 1, shares=STRONG, options=2)
    sites = list(funding.round.sites)
    promised = next(p for p, site in enumerate(sites) if site.cost)
    sites[promised] = replace(sites[promised], committed=True)
    round_ = replace(funding.round, sites=sites)
    dearest = sum(max(site.cost.values(), default=0.0) for site in sites)
    plan = plan_rounds(round_, funding.gains, [dearest / 3, dearest / 3], RATE)
    assert promised in plan.added[0]
    with pytest.raises(NoSetPossible) as refused:
        plan_rounds(round_, funding.gains, [0.0, dearest], RATE)
    assert refused.value.clash[0]["rule"] == "committed"
    assert refused.value.clash[0]["short_by"] == pytest.approx(min(sites[promised].cost.values()))
