"""On small runs the planner finds what enumerating every subset, order and sharing out finds."""

from __future__ import annotations

import time
from collections.abc import Sequence
from itertools import permutations
from threading import Thread

import numpy as np
import pytest

from slackwater.errors import Cancelled
from slackwater.progress import Progress
from slackwater.visits.bound import most_worth
from slackwater.visits.plan import plan_run, plans_by_days
from slackwater.visits.problem import Day, MustsDoNotFit, Problem
from slackwater.visits.routes import Order, one_more, routes_of
from tests.visits.runs import enumerated, random_run, relabelled

MORE = [pytest.param(seed, marks=pytest.mark.long) for seed in range(16, 80)]


def small_run(seed: int) -> Problem:
    """Six or seven sites, one or two days of six hours, no to two musts, one or two depots."""
    return random_run(6 + seed % 2, 1 + seed % 2, seed, musts=seed % 3, depots=1 + seed % 2,
                      hours=6.0)  # fmt: skip


def sums(problem: Problem, orders: Sequence[Order]) -> tuple[float, int]:
    """Give worth and seconds driven."""
    seen = sorted(site for order in orders for site in order)
    routes = routes_of(problem, orders)
    return float(problem.worth[seen].sum()), sum(route.drive_s for route in routes)


@pytest.mark.parametrize("seed", [*range(16), *MORE])
def test_the_plan_is_the_enumerated_best(seed: int) -> None:
    """Same worth, no more driving, every day within its length; refused where none exists."""
    problem = small_run(seed)
    best = enumerated(problem)
    if best is None:
        with pytest.raises(MustsDoNotFit) as refused:
            plan_run(problem)
        assert refused.value.short_s > 0
        return
    plan = plan_run(problem)
    assert sums(problem, plan.orders) == (pytest.approx(best[0]), best[1])
    assert plan.worth == pytest.approx(best[0])
    assert all(route.over_s == 0 for route in routes_of(problem, plan.orders))
    assert most_worth(problem, 0.0, turns=30) >= best[0] * (1 - 1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_relabelling_sites_changes_nothing_in_worth(seed: int) -> None:
    """The same run with its sites in another order shows the same, driven as far."""
    problem = random_run(24, 2, seed, idle=0.1)
    order = np.random.default_rng(seed).permutation(problem.sites)
    one, other = plan_run(problem), plan_run(relabelled(problem, order))
    assert other.worth == pytest.approx(one.worth, rel=1e-12)
    moved = relabelled(problem, order)
    assert sums(moved, other.orders)[1] == sums(problem, one.orders)[1]


@pytest.mark.parametrize("seed", range(6))
def test_more_days_never_buy_less(seed: int) -> None:
    """The best of the first one, two, three days; each shows at least what the one before did."""
    plans = plans_by_days(random_run(30, 3, seed))
    worths = [plan.worth for plan in plans if plan]
    assert len(worths) == 3
    assert worths == sorted(worths)
    assert worths[0] < worths[-1]


def test_days_that_do_not_hold_what_must_be_seen_buy_nothing_told() -> None:
    """Three far musts need two days: for one day alone there is no plan, not an empty one."""
    problem = random_run(6, 2, 5, idle=0.0, hours=3.5)
    near = np.flatnonzero(problem.alone_s(0) <= problem.days[0].length_s)[:3]
    must = np.isin(np.arange(problem.sites), near)
    asked = Problem(problem.travel_s, problem.travel_m, problem.service_s, problem.worth, must,
                    problem.days)  # fmt: skip
    assert enumerated(asked.within(1)) is None
    assert enumerated(asked) is not None
    first, both = plans_by_days(asked)
    assert first is None
    assert both is not None
    assert set(near.tolist()) <= {site for order in both.orders for site in order}


def test_a_must_too_far_is_named_with_what_it_is_short_by() -> None:
    """A day of one hour; the site alone takes longer by exactly what the refusal says."""
    problem = random_run(5, 1, 3, musts=1, hours=1.0)
    (site,) = np.flatnonzero(problem.must)
    with pytest.raises(MustsDoNotFit) as refused:
        plan_run(problem)
    assert refused.value.site == site
    assert refused.value.short_s == problem.alone_s(0)[site] - 3600


def test_musts_that_do_not_fit_together_are_short_by_the_least_there_is() -> None:
    """Each alone fits, all together do not: what is short is the enumerated least."""
    problem = random_run(5, 1, 8, musts=5, hours=24.0, across_m=60e3)
    length = int(problem.alone_s(0).max())
    depot = problem.depot_of(0)
    whole = min(
        sum(int(problem.travel_s[a, b]) for a, b in zip([depot, *o], [*o, depot], strict=True))
        for o in permutations(range(5))
    ) + int(problem.service_s.sum())
    day = Day(0, length)
    asked = Problem(problem.travel_s, problem.travel_m, problem.service_s, problem.worth,
                    problem.must, (day,))  # fmt: skip
    with pytest.raises(MustsDoNotFit) as refused:
        plan_run(asked)
    assert refused.value.site is None
    assert refused.value.short_s == whole - length


def test_what_one_more_site_takes_is_what_the_day_grows_by() -> None:
    """Put in where it is said to take least, it takes that much; nowhere else less."""
    problem = random_run(12, 2, 4, idle=0.0)
    plan = plan_run(problem)
    left = sorted(set(range(12)) - {site for order in plan.orders for site in order})
    before = routes_of(problem, plan.orders)
    for site in left:
        more = one_more(problem, plan.orders, site)
        longer = []
        for at in range(len(plan.orders[more.day]) + 1):
            order = list(plan.orders[more.day])
            order.insert(at, site)
            orders = [*plan.orders[: more.day], tuple(order), *plan.orders[more.day + 1 :]]
            longer.append(routes_of(problem, orders)[more.day].seconds)
        assert longer[more.before] == min(longer)
        assert more.more_s == min(longer) - before[more.day].seconds
        assert more.short_s == max(0, min(longer) - problem.days[more.day].length_s)


@pytest.mark.parametrize("work", ["plan", "bound"])
def test_it_counts_what_it_does_and_stops_within_two_seconds(work: str) -> None:
    """Told to stop in the middle of a large run it raises Cancelled; the count had begun."""
    problem, progress, raised = random_run(120, 4, 1, idle=0.0), Progress(), []

    def run() -> None:
        try:
            if work == "plan":
                plan_run(problem, progress, turns=1_000_000)
            else:
                most_worth(problem, 0.0, progress, turns=1_000_000)
        except Cancelled as told:
            raised.append(told)

    thread = Thread(target=run)
    thread.start()
    begun = time.monotonic()
    while progress.done < 3 and time.monotonic() - begun < 30:
        time.sleep(0.01)
    assert 0 < progress.done < progress.total
    told = time.monotonic()
    progress.cancel()
    thread.join(10)
    assert time.monotonic() - told < 2.0
    assert raised


def test_all_that_was_known_to_be_done_is_done_at_the_end() -> None:
    """Units done equal units known, of a plan and of a bound."""
    problem, progress = random_run(20, 2, 2), Progress()
    plan = plan_run(problem, progress)
    assert progress.done == progress.total > 0
    most_worth(problem, plan.worth, progress)
    assert progress.done == progress.total
