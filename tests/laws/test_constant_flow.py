"""Where every day is alike, the travelling frame and its lags change nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.river.kernel import LANES
from slackwater.river.river import River, prepare
from slackwater.river.seasons import Season
from tests.random_rivers import random_river, random_screens

SEEDS = st.integers(0, 10_000)


def with_lags(river: River, lag_days: np.ndarray) -> River:
    """Give the same river with other lags."""

    def shifted(season: Season) -> Season:
        cohorts = np.unique(np.add.outer(np.flatnonzero(season.day_share.any(axis=0)), lag_days))
        blocks = np.full(-(-len(cohorts) // LANES) * LANES, -(1 << 40), np.int64)
        blocks[: len(cohorts)] = cohorts
        return replace(season, lag_days=lag_days, blocks=blocks.reshape(-1, LANES))

    return replace(river, seasons=tuple(map(shifted, river.seasons)))


@given(SEEDS)
def test_with_constant_flow_the_frame_vanishes(seed: int) -> None:
    """Lags of nothing, and lags drawn by chance, give what the river's own lags give."""
    river = prepare(random_river(seed, constant=True))
    guilds, _, offtakes = river.shape
    keeps_out = random_screens(seed, (guilds, offtakes))
    own = river.measure(keeps_out)
    reaches = len(river.pace.gauge)
    by_chance = np.random.default_rng(seed).integers(0, 30, reaches)
    for lags in (np.zeros(reaches, np.int64), by_chance):
        other = with_lags(river, lags).measure(keeps_out)
        for name in ("taken", "exposed", "balance", "worth"):
            assert getattr(other, name) == pytest.approx(getattr(own, name), rel=1e-12), name


def test_with_changing_flow_it_does_not() -> None:
    """On most rivers that change by day lags do matter: the law above is no empty one."""
    differing = 0
    for seed in range(10):
        river = prepare(random_river(seed))
        guilds, _, offtakes = river.shape
        nothing = np.zeros((guilds, offtakes))
        unlagged = with_lags(river, np.zeros(len(river.pace.gauge), np.int64))
        differing += not np.allclose(
            unlagged.measure(nothing).taken, river.measure(nothing).taken, rtol=1e-3
        )
    assert differing >= 5
