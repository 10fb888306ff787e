"""The invented trees that funding is measured on answer as a river must."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bench.flow_milp import walk
from tests.bench.trees import STRONG, USUAL, Funding, make_funding

SEEDS = range(6)


def made(seed: int) -> tuple[Funding, np.random.Generator]:
    """A small tree of one of the two kinds, and something to draw screens from."""
    return make_funding(25, seed, shares=(USUAL, STRONG)[seed % 2]), np.random.default_rng(seed)


@pytest.mark.parametrize("seed", SEEDS)
def test_worth_is_that_of_a_plain_walk(seed: int) -> None:
    """Worth under any screens = what settles on a walk down, node by node."""
    funding, rng = made(seed)
    keeps = rng.uniform(0.0, 1.0, (4, *funding.gains.fitted.shape))
    walked = [walk(funding, each)[1] for each in keeps]
    assert funding.tree.worth_adults(keeps) == pytest.approx(walked, rel=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_exposed_is_what_keeping_out_gains(seed: int) -> None:
    """Keeping out h more of one guild at one site gains h x what it exposes: worth is affine."""
    funding, rng = made(seed)
    tree = funding.tree
    keeps = rng.uniform(0.0, 0.5, funding.gains.fitted.shape)
    exposed = tree.exposed_adults(keeps, keeps)
    h, changed = 0.3, []
    for cell in np.ndindex(keeps.shape):
        more = keeps.copy()
        more[cell] += h
        changed.append(more)
    gained = tree.worth_adults(np.array(changed)) - tree.worth_adults(keeps[None])
    worth = tree.worth_adults(keeps[None])[0]
    assert gained.reshape(keeps.shape) == pytest.approx(h * exposed, rel=1e-9, abs=1e-13 * worth)


@pytest.mark.parametrize("seed", SEEDS)
def test_gains_in_the_order_of_the_water_add_up(seed: int) -> None:
    """Changed from the source down, site by site, all gains add up to the change of worth."""
    funding, rng = made(seed)
    tree = funding.tree
    before, after = rng.uniform(0.0, 1.0, (2, *funding.gains.fitted.shape))
    gained = float((tree.exposed_adults(after, before) * (after - before)).sum())
    now, then = tree.worth_adults(np.array([before, after]))
    assert gained == pytest.approx(then - now, abs=1e-12 * now)
