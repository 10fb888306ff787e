"""Is the machine quiet enough to judge a ratio of times by?

Not where more is running than there are processors, nor where a fixed piece of arithmetic takes
times that vary by more than 30 %.
"""

from __future__ import annotations

import os
import time

MOST_VARYING = 0.30
ROUNDS = 7
STEPS = 400_000


def calibrate() -> list[float]:
    """Seconds of a fixed loop, several times over."""
    seconds = []
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        total = 0
        for step in range(STEPS):
            total += step & 7
        seconds.append(time.perf_counter() - begun)
    return seconds


def why_not_judged(loads: list[float], calibrations: list[float]) -> str | None:
    """Say what speaks against judging, None where nothing does.

    Parameters
    ----------
    loads : load averages over a minute, taken before and after.
    calibrations : seconds of the fixed loop, taken before and after.
    """
    cores = os.cpu_count() or 1
    varying = max(calibrations) / min(calibrations) - 1
    if max(loads) > cores:
        return f"load average {max(loads):.1f} on {cores} processors"
    if varying > MOST_VARYING:
        return f"a fixed loop varied by {varying:.0%}"
    return None
