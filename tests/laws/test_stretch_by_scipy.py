"""One stretch of river against scipy: incomplete gamma, exponential, generator of the stages."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import expm
from scipy.special import gammainc

from tests.kernel_access import decays_of, gammas_of, stretch_of

TRAVEL_DAYS = (1e-9, 1e-4, 0.02, 0.3, 1.0, 2.7, 11.0)
KINDS = [(k, settling, dying) for k in range(1, 6) for settling, dying in ((0.4, 0.0), (1.3, 0.25))]


def test_gamma_is_scipys() -> None:
    """P(m, z) agrees with scipy's `gammainc` to 1e-12 for m 1..5 and z 1e-8..50."""
    z = np.unique(np.concatenate((np.geomspace(1e-8, 50, 4001), np.linspace(0.9, 1.1, 201))))
    for k in range(1, 6):
        for m, ours in enumerate(gammas_of(z, k), start=1):
            np.testing.assert_allclose(ours, gammainc(m, z), rtol=1e-12, err_msg=f"m={m} of {k}")


def test_decay_is_numpys() -> None:
    """exp(-z) agrees with the library's to 4 units in the last place, and fades out beyond 700."""
    z = np.concatenate(([0.0], np.geomspace(1e-12, 699, 20_000)))
    np.testing.assert_allclose(decays_of(z), np.exp(-z), rtol=4 * np.finfo(float).eps)
    assert np.all(decays_of(np.array([701.0, 5000.0])) < 1e-300)


def test_lanes_do_not_disturb_each_other() -> None:
    """A block of very short and very long stretches gives each lane what it gets alone."""
    z = np.geomspace(1e-8, 50, 32)
    together = gammas_of(z, 4)
    alone = np.array([gammas_of(np.full(32, each), 4)[:, 0] for each in z]).T
    np.testing.assert_allclose(together, alone, rtol=1e-13)


def generator(k: int, settling: float, dying: float) -> np.ndarray:
    """(k + 2, k + 2) rates among the stages, settled and dead; rows sum to 0."""
    rates = np.zeros((k + 2, k + 2))
    for a in range(k):
        rates[a, a + 1] = settling  # the last stage's next is settled
        rates[a, k + 1] = dying
        rates[a, a] = -(settling + dying)
    return rates


@pytest.mark.parametrize("travel_days", TRAVEL_DAYS)
@pytest.mark.parametrize(("k", "settling", "dying"), KINDS)
def test_a_stretch_is_the_exponential_of_its_generator(
    k: int, settling: float, dying: float, travel_days: float
) -> None:
    """Who passes, settles and dies over a stretch is scipy's `expm` of the stage rates."""
    leaving = settling + dying
    stretch = stretch_of(leaving * travel_days, k, settling / leaving, 1.0, np.zeros(k))
    exact = expm(generator(k, settling, dying) * travel_days)
    np.testing.assert_allclose(stretch.passing, exact[:k, :k], rtol=1e-10, atol=1e-15)
    np.testing.assert_allclose(stretch.settling, exact[:k, k], rtol=1e-9, atol=1e-15)
    np.testing.assert_allclose(stretch.dying, exact[:k, k + 1], rtol=1e-9, atol=1e-15)


@pytest.mark.parametrize("travel_days", TRAVEL_DAYS)
@pytest.mark.parametrize(("k", "settling", "dying"), KINDS)
def test_worth_up_a_stretch_is_the_same_exponential(
    k: int, settling: float, dying: float, travel_days: float
) -> None:
    """Worth at the upper end = nursery x those that settle + worth below of those that pass."""
    leaving = settling + dying
    below = np.random.default_rng(k).uniform(0, 2, k)
    stretch = stretch_of(leaving * travel_days, k, settling / leaving, 0.7, below)
    exact = expm(generator(k, settling, dying) * travel_days)
    expected = exact[:k, :k] @ below + 0.7 * exact[:k, k]
    np.testing.assert_allclose(stretch.worth, expected, rtol=1e-12)


def test_nobody_is_lost_in_a_stretch() -> None:
    """Passing, settling and dying shares of each stage sum to 1."""
    for k, settling, dying in KINDS:
        for travel_days in TRAVEL_DAYS:
            leaving = settling + dying
            stretch = stretch_of(leaving * travel_days, k, settling / leaving, 1.0, np.zeros(k))
            total = stretch.passing.sum(axis=1) + stretch.settling + stretch.dying
            np.testing.assert_allclose(total, 1.0, rtol=1e-14)
