"""The price path: nested sets whose weights bound every set."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slackwater.decisions.gains import FITTED
from slackwater.decisions.knapsack import cheapest, most_worth, steps_from
from slackwater.decisions.price_path import PricePath, cost_table, price_path
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.progress import Progress
from tests.bench.trees import STRONG, make_funding
from tests.laws.test_best_set import every_set, made

PARTS = (1, 4)


def path_on_tree(seed: int, parts: int) -> tuple[PricePath, np.ndarray, float]:
    """A path on an invented tree where screens help each other, its costs and its budget."""
    funding = make_funding(60, seed, shares=STRONG)
    cost = cost_table(funding.gains.residents.shape, funding.round.choices())
    budget = 4 * funding.round.budget
    return price_path(funding.gains, cost, budget=budget, parts=parts), cost, budget


@pytest.mark.parametrize("seed", range(25))
def test_the_bound_holds_for_every_set(tmp_path: Path, seed: int) -> None:
    """Weights along the path are at least what any set gains, however many parts it is gone in."""
    _, evaluation, most = made(tmp_path, seed)
    round_, gains = round_of(evaluation, most, Conditions()), gains_of(evaluation, Progress())
    sets = every_set(replace(round_, budget=np.inf))[:600]
    if not sets:
        return
    benefits = gains.benefit(sets)
    slack = 1e-10 * float(np.abs(benefits).max()) + 10 * gains.rounding
    cost = cost_table(gains.residents.shape, round_.choices())
    for parts in PARTS:
        cut = price_path(gains, cost, budget=0.6 * most, parts=parts).cut
        sums = [cut.constant + sum(cut.weights[p, o] for p, o in picks.items()) for picks in sets]
        assert (np.array(sums) >= benefits - slack).all()


@pytest.mark.parametrize("seed", range(10))
def test_sets_nest_and_keep_the_budget(seed: int) -> None:
    """Each set has all sites of the one before, costs what is said, and never over the budget."""
    path, cost, budget = path_on_tree(seed, 12)
    assert len(path.spent) == len(path.cut.order) > 5
    assert (np.diff(path.spent) > 0).all()
    assert path.spent[-1] <= budget
    for before, after in zip(path.cut.order, path.cut.order[1:], strict=False):
        assert (after[before != FITTED] != FITTED).all()
    for options, spent in zip(path.cut.order, path.spent, strict=True):
        in_ = np.flatnonzero(options != FITTED)
        assert cost[in_, options[in_]].sum() == pytest.approx(spent)


def test_the_bound_is_exact_along_a_chain() -> None:
    """With one option a site that only helps, weights give each set of the path what it gains."""
    funding = make_funding(60, 3, shares=STRONG, options=1)
    gains = replace(funding.gains, fitted=np.zeros_like(funding.gains.fitted))
    cost = cost_table(gains.residents.shape, funding.round.choices())
    cut = price_path(gains, cost, budget=np.inf, parts=8).cut
    sums = [cut.constant + cut.weights[row != FITTED, 0].sum() for row in cut.order]
    assert sums == pytest.approx(gains.benefit_of(cut.order), rel=1e-10)


def test_more_parts_bound_more_tightly() -> None:
    """Gone in many parts, the path's bound lies below that of one part at every budget."""
    bounds = []
    for parts in (1, 30):
        path, cost, budget = path_on_tree(1, parts)
        start = cheapest(path.cut.weights, cost, np.zeros(len(cost), np.bool_))
        steps = steps_from(start, path.cut.weights, cost)
        bounds.append(most_worth(path.cut.constant, steps, np.linspace(0.1, 0.9, 9) * budget))
    assert (bounds[1] < bounds[0]).all()


@pytest.mark.parametrize("seed", range(20))
def test_steps_are_the_relaxed_knapsack(seed: int) -> None:
    """Steps in order reach, at any budget, what the relaxed multiple-choice knapsack reaches."""
    rng = np.random.default_rng(seed)
    value, cost = rng.uniform(-1, 5, (6, 4)), rng.uniform(1, 9, (6, 4))
    cost[rng.random((6, 4)) < 0.2] = np.inf
    steps = steps_from(np.full(6, -1), value, cost)
    prices = np.concatenate(([0.0], steps.value / steps.cost))
    for budget in (0.0, 3.0, 10.0, 30.0):
        # the bound by duality: the least over prices of money
        by_price = [
            price * budget + np.maximum((value - price * cost).max(axis=1), 0.0).sum()
            for price in prices
            if price > 0 or np.isfinite(cost).all()
        ]
        free = np.where(np.isfinite(cost), value, -np.inf).max(axis=1)
        by_price.append(np.maximum(free, 0.0).sum())
        assert most_worth(0.0, steps, np.array([budget]))[0] == pytest.approx(min(by_price))
