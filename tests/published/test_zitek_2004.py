"""What does it matter that most larvae drift at night?"""

from __future__ import annotations

import numpy as np

from slackwater.river.taking import diel_factor

SOURCE = "Zitek et al. 2004, drift in a Danube side arm"
WHERE = "abstract: 86 % of the drift in darkness"
KNOWN = "text read"

NIGHT_DRIFT = 0.86


def factor(night_use_share: float, night: float) -> float:
    """Give one diel factor of the server."""
    return float(diel_factor(NIGHT_DRIFT, np.array([night_use_share]), np.array([[night]]))[0, 0])


def test_pumping_by_night_or_by_day(agrees) -> None:
    """With night and day of 12 hours a night pump meets 1.72 and a day pump 0.28 of the mean.

    Water drawn only in the dark half meets 86 % of the drift in half of the river's water:
    0.86 / 0.5; by day 0.14 / 0.5.
    """
    agrees("pump by night only", 1.72, factor(1.0, 0.5), within=1e-12)
    agrees("pump by day only", 0.28, factor(0.0, 0.5), within=1e-12)
    agrees("pump round the clock", 1.0, factor(0.5, 0.5), within=1e-12)


def test_round_the_clock_the_night_makes_no_difference(agrees) -> None:
    """A pump that runs evenly meets the daily mean however long the night."""
    for night in (0.3, 0.45, 0.6):
        agrees(f"even pump, night {night}", 1.0, factor(night, night), within=1e-12)
