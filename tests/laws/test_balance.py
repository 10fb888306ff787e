"""Where do all the drifters go? Each death is counted where it happens, so this can fail."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.desk.evaluation import evaluate
from slackwater.river.kernel import DIED, LEFT, PRODUCED, SETTLED, STRANDED
from slackwater.river.river import prepare
from tests.kernel_access import settled_by_reach
from tests.random_rivers import random_river, random_screens

SEEDS = st.integers(0, 10_000)


@given(SEEDS)
def test_every_drifter_is_accounted_for(seed: int) -> None:
    """Produced = settled + died + taken + left, with screens, weirs, splits and dry reaches."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    measured = river.measure(random_screens(seed, (guilds, offtakes)))
    counted = measured.balance
    ends = counted[..., SETTLED] + counted[..., DIED] + counted[..., LEFT]
    assert counted[..., PRODUCED].min() > 0
    assert ends + measured.taken.sum(axis=2) == pytest.approx(counted[..., PRODUCED], rel=1e-12)
    assert np.all(counted >= 0)
    assert np.all(counted[..., STRANDED] <= counted[..., DIED])


@given(SEEDS)
def test_what_is_produced_is_the_seasons_share(seed: int) -> None:
    """All that the season starts is released into some cohort: births x effort of the year."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    produced = river.measure(np.zeros((guilds, offtakes))).balance[..., PRODUCED]
    for season in river.seasons:
        effort = season.day_share.sum(axis=1)[river.pace.gauge]
        expected = (river.births[season.guild] * effort).sum()
        assert produced[season.guild, season.year] == pytest.approx(expected, rel=1e-12)


@given(SEEDS)
def test_the_report_balances(seed: int) -> None:
    """The balance people read (taken put among the rest) sums to what was produced."""
    produced, settled, died, stranded, taken, left = evaluate(random_river(seed)).balance.T
    assert settled + died + taken + left == pytest.approx(produced, rel=1e-12)
    assert np.all(stranded <= died)


@given(SEEDS)
def test_settled_by_reach_is_all_that_settled(seed: int) -> None:
    """Heads settled reach by reach sum to the balance's, and so do those left."""
    river = prepare(random_river(seed))
    guilds, _, offtakes = river.shape
    keeps_out = random_screens(seed, (guilds, offtakes))
    balance = river.measure(keeps_out).balance
    for position, season in enumerate(river.seasons):
        by_reach, left = settled_by_reach(river, keeps_out, position)
        counted = balance[season.guild, season.year]
        assert by_reach.sum() == pytest.approx(counted[SETTLED], rel=1e-12)
        assert left == pytest.approx(counted[LEFT], rel=1e-12)
