"""Down the river and up it give the same worth; a gain is exact, whatever its size."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.desk.evaluation import evaluate
from slackwater.river.river import prepare
from tests.kernel_access import settled_by_reach
from tests.random_rivers import random_river, random_screens

SEEDS = st.integers(0, 10_000)


@given(SEEDS)
def test_worth_down_is_worth_up(seed: int) -> None:
    """Births x worth at their start = settlers x nursery + those left x the outlet's value."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    keeps_out = random_screens(seed, (guilds, offtakes))
    worth = river.measure(keeps_out).worth
    outlet_value = river.catchment.table("guilds").number("outlet_value")
    for position, season in enumerate(river.seasons):
        by_reach, left = settled_by_reach(river, keeps_out, position)
        forward = by_reach @ river.nursery[season.guild] + left * outlet_value[season.guild]
        assert worth[season.guild, season.year] == pytest.approx(forward, rel=1e-12)


@given(SEEDS, st.floats(0.001, 1.0))
def test_a_gain_is_what_the_river_gains(seed: int, h: float) -> None:
    """Keeping out h more at one site gains h x what it exposes: affine, so any h will do."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    keeps_out = random_screens(seed, (guilds, offtakes))
    measured = river.measure(keeps_out)
    changed = []
    for guild in range(guilds):
        for site in range(offtakes):
            more = keeps_out.copy()
            more[guild, site] += h
            changed.append(more)
    gained = river.worth(np.array(changed)) - measured.worth
    for case, (guild, site) in enumerate(np.ndindex(guilds, offtakes)):
        expected = np.zeros_like(measured.worth)
        expected[guild] = h * measured.exposed[guild, :, site]
        scale = measured.worth.max()
        assert gained[case] == pytest.approx(expected, rel=1e-9, abs=1e-12 * scale)


@given(SEEDS)
def test_loss_is_the_worth_the_river_would_have_had(seed: int) -> None:
    """An offtake's loss = worth with it alone taking none, less worth today."""
    catchment = random_river(seed)
    evaluation, river = evaluate(catchment), prepare(catchment)
    guilds, _, offtakes = river.shape
    none_taken = np.zeros((offtakes + 1, guilds, offtakes))
    for site in range(offtakes):
        none_taken[site, :, site] = 1.0
    worth = river.worth(none_taken)[:, :, 0]
    loss = (worth[:-1] - worth[-1]).T
    assert evaluation.loss == pytest.approx(loss, rel=1e-9, abs=1e-12 * worth.max())


@given(SEEDS)
def test_many_assignments_at_once_are_each_alone(seed: int) -> None:
    """`worth` of many assignments gives what `measure` gives for each."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    sets = np.array([random_screens(seed + i, (guilds, offtakes)) for i in range(3)])
    alone = np.array([river.measure(keeps_out).worth for keeps_out in sets])
    assert river.worth(sets) == pytest.approx(alone, rel=1e-13)
