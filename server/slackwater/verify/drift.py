"""What becomes of drifters over a stretch of river? On, on and further grown, or settled.

Section 4 of the methods page, *Stages*.
"""

from __future__ import annotations

from math import factorial

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammainc

Numbers = NDArray[np.float64]


def chances(
    tau_days: Numbers, stages: int, drift_days: float, mortality_per_day: float
) -> tuple[Numbers, Numbers]:
    """Chances over a travel time; the rest of those who neither stay nor settle die.

    Parameters
    ----------
    tau_days : (cohorts,).

    Returns
    -------
    stay : (stages, cohorts) of moving on by 0, 1, ... stages, still drifting.
    settle : (stages, cohorts) of settling, from each stage.
    """
    settling = stages / drift_days
    leaving = settling + mortality_per_day
    z, x = leaving * tau_days, settling * tau_days
    stay = np.array([np.exp(-z) * x**m / factorial(m) for m in range(stages)])
    ratio = settling / leaving
    settle = np.array(
        [ratio ** (stages - a) * gammainc(stages - a, z) for a in range(stages)], np.float64
    )
    return stay, settle


def move(heads: Numbers, stay: Numbers) -> Numbers:
    """Heads by stage after a stretch: stage b gets what moved on b - a stages from a."""
    moved = np.empty_like(heads)
    for b in range(heads.shape[1]):
        moved[:, b] = sum(heads[:, a] * stay[b - a] for a in range(b + 1))
    return moved


def move_back(value: Numbers, stay: Numbers) -> Numbers:
    """Worth by stage before a stretch, of those who stay adrift over it."""
    k = value.shape[1]
    before = np.empty_like(value)
    for a in range(k):
        before[:, a] = sum(value[:, b] * stay[b - a] for b in range(a, k))
    return before
