"""The one door to the solver: right answers, silence, and an end when told."""

from __future__ import annotations

import itertools
import time
from threading import Event, Timer

import numpy as np
import pytest
from scipy.sparse import csr_array, vstack

from slackwater.decisions.solver import Problem, solve
from slackwater.errors import Cancelled


def knapsacks(unknowns: int, rules: int, seed: int, *, whole: bool = True) -> Problem:
    """Many budgets at once, each a third of what everything needs."""
    rng = np.random.default_rng(seed)
    needs = rng.integers(1, 1000, (rules, unknowns)).astype(np.float64)
    return Problem(
        objective=needs.mean(axis=0) + rng.integers(0, 50, unknowns),
        rows=csr_array(needs),
        least=np.full(rules, -np.inf),
        most=needs.sum(axis=1) / 3,
        lower=np.zeros(unknowns),
        upper=np.ones(unknowns),
        whole=np.full(unknowns, whole),
    )


@pytest.mark.parametrize("seed", range(10))
def test_the_best_of_all_choices_is_found(seed: int) -> None:
    """Value and bound are the best of every choice tried by hand."""
    problem = knapsacks(10, 2, seed)
    every = np.array(list(itertools.product((0.0, 1.0), repeat=10)))
    kept = (every @ problem.rows.toarray().T <= problem.most).all(axis=1)
    best = (every[kept] @ problem.objective).max()
    found = solve(problem, gap=0.0)
    assert found.values is not None
    assert found.values @ problem.objective == pytest.approx(best)
    assert found.bound == pytest.approx(best)


def test_prices_bound_every_relaxed_choice() -> None:
    """Rules at the relaxation's prices cost, with what is left of the unknowns, just its value."""
    problem = knapsacks(30, 3, 1, whole=False)
    found = solve(problem)
    left = np.maximum(problem.objective - found.prices @ problem.rows, 0.0).sum()
    assert (found.prices >= -1e-9).all()
    assert found.prices @ problem.most + left == pytest.approx(found.bound)


def test_clashing_rules_are_told() -> None:
    """Where no choice keeps the rules there are no values, and it is said to be impossible."""
    problem = knapsacks(5, 1, 0)
    needs_more = Problem(**{**problem.__dict__, "least": problem.rows.sum(axis=1) + 1.0,
                            "most": np.array([np.inf])})  # fmt: skip
    found = solve(needs_more)
    assert found.values is None
    assert not found.possible


def test_the_solver_says_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    """Only results go to the standard output; the solver writes none of its own."""
    solve(knapsacks(10, 2, 0))
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("after_s", [0.05, 1.0])
def test_a_hard_search_ends_when_told(after_s: float) -> None:
    """Told from another thread, a search of hours ends within 2 s as cancelled."""
    told = Event()
    timer = Timer(after_s, told.set)
    timer.start()
    began = time.monotonic()
    with pytest.raises(Cancelled):
        solve(knapsacks(300, 30, 0), gap=0.0, seconds=600.0, stop=told.is_set)
    assert after_s <= time.monotonic() - began < after_s + 2.0


def test_a_large_relaxation_ends_when_told() -> None:
    """A relaxation of seconds, too, ends within 2 s of being told."""
    sites, options, rules = 10_000, 4, 40
    rng, n = np.random.default_rng(0), sites * options
    needs = rng.uniform(1, 100, (rules, n))
    place = np.repeat(np.arange(sites), options)
    one_a_site = csr_array((np.ones(n), (place, np.arange(n))), (sites, n))
    problem = Problem(
        objective=needs.mean(axis=0) + rng.uniform(0, 3, n),
        rows=vstack([csr_array(needs), one_a_site]).tocsr(),
        least=np.full(rules + sites, -np.inf),
        most=np.concatenate((needs.sum(axis=1) / 12, np.ones(sites))),
        lower=np.zeros(n),
        upper=np.ones(n),
        whole=np.zeros(n, np.bool_),
    )
    told = Event()
    Timer(0.5, told.set).start()
    began = time.monotonic()
    with pytest.raises(Cancelled):
        solve(problem, seconds=600.0, stop=told.is_set)
    assert time.monotonic() - began < 2.5


def test_the_time_is_kept() -> None:
    """Out of time, a search gives the best so far and an honest bound over it."""
    problem = knapsacks(300, 30, 0)
    began = time.monotonic()
    found = solve(problem, gap=0.0, seconds=0.5)
    assert time.monotonic() - began < 1.5
    assert found.values is not None
    assert (problem.rows @ found.values <= problem.most * (1 + 1e-9)).all()
    assert found.bound > found.values @ problem.objective


def test_a_start_is_never_lost() -> None:
    """Given values that keep the rules, a search without time for any gives at least those."""
    problem = knapsacks(300, 30, 0)
    good = solve(problem, gap=0.0, seconds=2.0).values
    assert good is not None
    found = solve(problem, gap=0.0, seconds=0.05, start=good)
    assert found.values is not None
    assert found.values @ problem.objective >= good @ problem.objective - 1e-6
