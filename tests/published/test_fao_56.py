"""How long is the day, by the paper the night fraction comes from?"""

from __future__ import annotations

import numpy as np

from slackwater.river.taking import night_fraction

SOURCE = "FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes, Smith 1998)"
WHERE = "example 9: daylight on 3 September (day 246) at 20 degrees south, 11.7 hours"
KNOWN = "from memory"


def test_daylight_hours(agrees) -> None:
    """24 hours less the server's night are 11.7; one place printed."""
    night = float(night_fraction(np.array([246]), np.array([-20.0]))[0, 0])
    agrees("daylight, hours", 11.7, 24 * (1 - night), within=0.05)


def test_the_equator_has_twelve_hours(agrees) -> None:
    """On the equator every night is half of the day."""
    for day in (1, 80, 172, 300):
        night = float(night_fraction(np.array([day]), np.array([0.0]))[0, 0])
        agrees(f"night at the equator, day {day}", 0.5, night, within=1e-12)
