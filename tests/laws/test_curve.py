"""The benefit of every budget: sets within it, true gains, and bounds that hold."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slackwater.decisions.curve import Curve, benefit_curve
from slackwater.decisions.rules import Conditions, Round
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.errors import Cancelled, UsageError
from slackwater.progress import Progress
from tests.bench.trees import STRONG, make_funding
from tests.laws.test_best_set import every_set, made


def spent_on(round_: Round, curve: Curve, at: int) -> float:
    """What a set of the curve costs, added up from the sites."""
    return sum(round_.sites[p].cost[o] for p, o in curve.picks(at).items())


@pytest.mark.parametrize("seed", range(30))
def test_bounds_are_never_below_the_best(tmp_path: Path, seed: int) -> None:
    """At each budget the set keeps the rules and the bound is at least the best of all sets."""
    _, evaluation, most = made(tmp_path, seed)
    gains = gains_of(evaluation, Progress())
    round_ = round_of(evaluation, most, Conditions())
    budgets = np.linspace(0.0, most, 12)
    curve = benefit_curve(round_, gains, budgets, parts=3)
    slack = 10 * gains.rounding
    left_out = set(budgets) - set(curve.budgets)
    assert not any(every_set(replace(round_, budget=budget)) for budget in left_out)
    for at, budget in enumerate(curve.budgets):
        sets = every_set(replace(round_, budget=float(budget)))
        benefits = gains.benefit(sets)
        assert curve.picks(at) in sets
        assert curve.benefit[at] == pytest.approx(benefits[sets.index(curve.picks(at))], abs=slack)
        assert curve.upper_bound[at] >= benefits.max() - 1e-9 * abs(benefits.max()) - slack


def test_a_large_curve_keeps_budgets_and_rises() -> None:
    """Sets on an invented tree cost what is said, within budget; bounds rise and stay above."""
    funding = make_funding(300, 5, shares=STRONG)
    budgets = np.linspace(0.5, 6, 40) * funding.round.budget
    curve = benefit_curve(funding.round, funding.gains, budgets)
    for at in range(len(budgets)):
        assert spent_on(funding.round, curve, at) == pytest.approx(curve.spent[at])
    assert (curve.spent <= budgets * (1 + 1e-9)).all()
    assert (np.diff(curve.upper_bound) >= 0).all()
    assert (curve.benefit <= curve.upper_bound).all()
    assert np.median(curve.gap) < 0.02


def test_the_priority_list_goes_from_the_most_for_the_money_down() -> None:
    """Steps come in order of weight for cost, and those of one site from cheap to dear."""
    funding = make_funding(300, 2)
    curve = benefit_curve(funding.round, funding.gains, np.array([5 * funding.round.budget]))
    steps = curve.priorities
    assert (np.diff(steps.value / steps.cost) <= 1e-12).all()
    for site in np.unique(steps.site):
        own = steps.option[steps.site == site]
        costs = [funding.round.sites[site].cost[int(o)] for o in own]
        assert costs == sorted(set(costs))


def test_other_bounds_only_help() -> None:
    """Given the cut of a finer path, no budget's bound rises and the sets stay as they were."""
    funding = make_funding(200, 1, shares=STRONG)
    budgets = np.linspace(1, 4, 10) * funding.round.budget
    coarse = benefit_curve(funding.round, funding.gains, budgets, parts=2)
    fine = benefit_curve(funding.round, funding.gains, budgets, parts=50)
    both = benefit_curve(funding.round, funding.gains, budgets, parts=2, cuts=[fine.path.cut])
    assert (both.options == coarse.options).all()
    assert (both.upper_bound <= coarse.upper_bound).all()
    assert (both.upper_bound < coarse.upper_bound).any()


def test_what_a_curve_cannot_hold_is_refused() -> None:
    """District shares and most installs depend on one budget and are refused; told, it stops."""
    funding = make_funding(30, 1)
    limited = replace(funding.round, conditions=Conditions(most_installs=3))
    with pytest.raises(UsageError, match="most installs"):
        benefit_curve(limited, funding.gains, np.array([1e6]))
    with pytest.raises(Cancelled):
        benefit_curve(funding.round, funding.gains, np.array([1e6]), stop=lambda: True)
