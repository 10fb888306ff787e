"""The best set against HiGHS on one program of flows, which knows none of our bounds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from slackwater.decisions.best_set import find_best_set
from slackwater.decisions.curve import benefit_curve
from slackwater.decisions.rules import Conditions
from slackwater.errors import NoSetPossible
from tests.bench.flow_milp import flow_program, walked_benefit
from tests.bench.highs_run import Solved, solve
from tests.bench.trees import STRONG, USUAL, Funding, make_funding

ASKED, WITHIN = 1e-7, 1e-6
SECONDS = 120.0


def solved(funding: Funding) -> Solved:
    """HiGHS' own best set, with what it promises borne out by a walk down the river."""
    found = solve(flow_program(funding), gap=ASKED, seconds=SECONDS)
    if found.status == "Optimal":
        walked = walked_benefit(funding, found.picks)
        assert walked == pytest.approx(found.objective, rel=WITHIN)
    return found


def agree(funding: Funding, theirs: Solved) -> None:
    """Both prove their set, to the same benefit; neither's bound is below the other's set."""
    ours = find_best_set(funding.round, funding.gains, gap=ASKED, seconds=SECONDS)
    assert theirs.status == "Optimal"
    assert ours.gap <= WITHIN
    assert walked_benefit(funding, ours.picks) == pytest.approx(ours.benefit, rel=1e-9)
    assert ours.benefit == pytest.approx(theirs.objective, rel=WITHIN)
    assert ours.upper_bound >= theirs.objective * (1 - WITHIN)
    assert theirs.upper_bound >= ours.benefit * (1 - WITHIN)


@pytest.mark.parametrize(
    ("offtakes", "shares", "budget_share", "seed"),
    [
        (30, USUAL, 0.3, 1),
        (60, USUAL, 0.1, 2),
        (60, USUAL, 0.3, 3),
        (100, USUAL, 0.1, 4),
        (40, STRONG, 0.1, 7),
        (30, STRONG, 0.3, 6),
        (80, STRONG, 0.1, 2),
        (80, STRONG, 0.3, 1),
    ],
)
def test_the_best_set_is_that_of_the_flow_program(
    offtakes: int, shares: tuple[float, float], budget_share: float, seed: int
) -> None:
    """With usual and with strong taking, our benefit is HiGHS' to 1e-6, and so are the bounds."""
    funding = make_funding(
        offtakes, seed, shares=shares, guilds=2, years=2, options=3, budget_share=budget_share
    )
    agree(funding, solved(funding))


def some_conditions(funding: Funding, rng: np.random.Generator) -> Conditions:
    """Conditions that bite: what would be chosen left out, what would not be kept in."""
    free = find_best_set(funding.round, funding.gains, gap=1e-3, seconds=SECONDS)
    chosen = [funding.round.sites[i].offtake_id for i in sorted(free.picks)]
    others = [
        site.offtake_id
        for site in funding.round.sites
        if site.eligible and site.offtake_id not in chosen
    ]
    least, most = rng.choice(sorted(set(funding.round.districts)), 2, replace=False)
    return Conditions(
        kept_in=dict.fromkeys(map(str, rng.choice(others, 2, replace=False)), "by hand"),
        left_out={str(rng.choice(chosen)): "by hand"} if rng.random() < 0.7 else {},
        district_least={str(least): 0.15} if rng.random() < 0.7 else {},
        district_most={str(most): 0.05} if rng.random() < 0.7 else {},
        most_installs=max(3, len(chosen) - 2) if rng.random() < 0.7 else None,
    )


@pytest.mark.parametrize("seed", range(10))
def test_side_conditions_bind_both_alike(seed: int) -> None:
    """Kept in, left out, districts and most installs: the same benefit, or a clash for both."""
    funding = make_funding(
        40, seed, shares=(USUAL, STRONG)[seed % 2], guilds=2, years=1, options=3, budget_share=0.2
    )
    conditions = some_conditions(funding, np.random.default_rng(seed))
    bound = replace(funding, round=replace(funding.round, conditions=conditions))
    theirs = solved(bound)
    if theirs.status == "Infeasible":
        with pytest.raises(NoSetPossible):
            find_best_set(bound.round, bound.gains)
        return
    agree(bound, theirs)


@pytest.mark.parametrize(("offtakes", "shares"), [(60, USUAL), (40, STRONG)])
def test_the_curve_is_between_what_highs_finds_and_its_bound(
    offtakes: int, shares: tuple[float, float]
) -> None:
    """At each budget its set is affordable and no better than HiGHS' bound, its bound no worse."""
    funding = make_funding(offtakes, 8, shares=shares, guilds=2, years=2, options=3)
    budgets = funding.round.budget * np.array([0.4, 1.0, 2.5])
    curve = benefit_curve(funding.round, funding.gains, budgets)
    for at, budget in enumerate(budgets):
        picks = curve.picks(at)
        theirs = solved(replace(funding, round=replace(funding.round, budget=float(budget))))
        spent = sum(funding.round.sites[i].cost[o] for i, o in picks.items())
        assert curve.spent[at] == pytest.approx(spent)
        assert spent <= budget * (1 + 1e-9)
        assert walked_benefit(funding, picks) == pytest.approx(curve.benefit[at], rel=1e-9)
        assert curve.benefit[at] <= theirs.upper_bound * (1 + WITHIN)
        assert curve.upper_bound[at] >= theirs.objective * (1 - WITHIN)
