"""Is the worth of a measurement the textbook's worth of information?"""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.decisions.measurement_worth import worth_of_knowing

SOURCE = "Classroom example of decision analysis: apartments, offices or a warehouse"
WHERE = "good 0.6, poor 0.4: expected 44,000 untold, 72,000 told, so knowing is worth 28,000"
KNOWN = "from memory"

GOOD = (50_000.0, 100_000.0, 30_000.0)
POOR = (30_000.0, -40_000.0, 10_000.0)


def ten_draws() -> np.ndarray:
    """(10, 3) six good draws and four poor ones."""
    return np.array([GOOD] * 6 + [POOR] * 4)


def test_the_classroom_example(agrees) -> None:
    """Six draws of ten are good: told one earns 72,000, untold 44,000 with offices."""
    draws = ten_draws()
    agrees("expected untold", 44_000.0, float(draws.mean(axis=0).max()), within=1e-6)
    agrees("expected told", 72_000.0, float(draws.max(axis=1).mean()), within=1e-6)
    agrees("worth of knowing", 28_000.0, float(worth_of_knowing(draws)), within=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_never_negative_and_partial_never_above_perfect(seed: int) -> None:
    """Knowing one of two inputs is worth at least nothing and at most knowing both."""
    rng = np.random.default_rng(seed)
    draws = rng.normal(0, 1, (7, 9, 3)) * rng.uniform(0, 2, 3) + rng.normal(0, 1, 3)
    both = float(worth_of_knowing(draws.reshape(-1, 3)))
    one = float(worth_of_knowing(draws.mean(axis=1)))
    other = float(worth_of_knowing(draws.mean(axis=0)))
    assert min(one, other) >= 0
    assert max(one, other) <= both * (1 + 1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_nothing_where_the_decision_cannot_change(seed: int) -> None:
    """Where one option, or doing nothing, is best whatever is found, knowing is worth 0."""
    rng = np.random.default_rng(seed)
    draws = rng.uniform(0, 1, (50, 3))
    assert worth_of_knowing(draws + np.array([3.0, 0.0, 0.0])) == 0
    assert worth_of_knowing(draws - 1.0) == 0
    assert worth_of_knowing(rng.uniform(-1, 1, (50, 1))) > 0
