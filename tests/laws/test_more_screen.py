"""A better screen can only help: those alive in the river, and the river's worth."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slackwater.river.river import River, prepare
from tests.random_rivers import random_river, random_screens

SEEDS = st.integers(0, 10_000)
ROUNDING = 1e-12


def two_assignments(river: River, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Give (guilds, offtakes) screens and better ones, better at some sites only."""
    guilds, _, offtakes = river.shape
    less = random_screens(seed, (guilds, offtakes))
    rng = np.random.default_rng([seed, 2])
    better = rng.random((guilds, offtakes)) < 0.5
    return less, less + better * rng.random((guilds, offtakes)) * (1 - less)


@given(SEEDS)
def test_more_screen_never_takes_more(seed: int) -> None:
    """All offtakes together take no more once some screens are better."""
    river = prepare(random_river(seed))
    less, more = (river.measure(k).taken.sum(axis=2) for k in two_assignments(river, seed))
    assert np.all(more <= less * (1 + ROUNDING))


@given(SEEDS)
def test_a_better_screen_takes_less_at_its_own_offtake(seed: int) -> None:
    """An offtake takes less of each guild by exactly what its own better screen keeps out."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    keeps_out = random_screens(seed, (guilds, offtakes))
    before = river.measure(keeps_out).taken
    for site in range(offtakes):
        better = keeps_out.copy()
        better[:, site] += (1 - better[:, site]) / 2
        after = river.measure(better).taken
        assert np.allclose(after[:, :, site], before[:, :, site] / 2, rtol=1e-12)


@given(SEEDS)
def test_more_screen_never_loses_worth(seed: int) -> None:
    """The river's worth does not fall for any guild or year when screens get better."""
    river = prepare(random_river(seed))
    less, more = river.worth(np.array(two_assignments(river, seed)))
    assert np.all(more >= less * (1 - ROUNDING))


@given(SEEDS)
def test_a_second_screen_is_worth_more_once_the_first_is_in(seed: int) -> None:
    """Gains do not fall when another offtake is screened: cross effects are never negative."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    sets = np.zeros((4, guilds, offtakes))
    first, second = np.random.default_rng([seed, 3]).choice(offtakes, 2, replace=False)
    sets[[1, 3], :, first] = 0.9
    sets[[2, 3], :, second] = 0.8
    none, one, other, both = river.worth(sets)
    assert np.all(both - one >= (other - none) - ROUNDING * both)
