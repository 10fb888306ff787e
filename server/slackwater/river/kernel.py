"""The two sweeps: drifters down the river, worth up it. 32 cohorts side by side, compiled.

Section 4 and 6 of the methods page. Drifters of one guild and season-year travel in cohorts that
do not mix; a block holds 32 of them in its lanes, and each cohort meets in a reach the calendar
day ``cohort - lag`` (held within the season-year). Stage a turns into stage b over a stretch with
probability ``exp(-z) (ratio z)**(b-a) / (b-a)!``, where ``z = (lambda + mu) tau`` and
``ratio = lambda / (lambda + mu)``; it settles with ``ratio**(k-a) P(k-a, z)``.

Slots may be shared with the reach being swept: a reach's state is copied out before it is
written on.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]

LANES = 32
PRODUCED, SETTLED, DIED, STRANDED, LEFT = range(5)

_LOG2_E = 1.4426950408889634
_LN2_HIGH = 0.6931471803691238
_LN2_LOW = 1.9082149292705877e-10
_ROUND = (
    6755399441055744.0  # 1.5 * 2**52: adding it leaves the nearest whole number in the low bits
)
_ROUND_BITS = 4843621399236968448
_MOST = 700.0  # exp(-700) is as good as 0 and still a normal number


class Conditions(NamedTuple):
    """What one guild meets in one season-year, in the order of a `Layout`.

    Attributes
    ----------
    flow_class, gauge, lag_days : (r,) int64.
    pace : (r,) ``(lambda + mu) * slow_coef / drift_speed_ratio``; z = pace * slowness * metres.
    slowness : (classes, days) days a metre is that times slow_coef; 0 on a dry day.
    dries : (classes,) true where any day is dry.
    births : (r,) drifters of a full season.
    day_share : (gauges, 1 + days + 1) share of a full season starting each day, 0 outside.
    taken_share : (o, days) share of those passing that is taken without a screen.
    survival : (r,) share that passes the lower end of the reach alive.
    nursery : (r,) worth of a settler.
    outlet_value : worth of one still adrift at an outlet.
    stages : k.
    ratio : lambda / (lambda + mu).
    """

    flow_class: Positions
    gauge: Positions
    lag_days: Positions
    pace: Numbers
    slowness: Numbers
    dries: NDArray[np.bool_]
    births: Numbers
    day_share: Numbers
    taken_share: Numbers
    survival: Numbers
    nursery: Numbers
    outlet_value: float
    stages: int
    ratio: float


def _compiled(function: Any) -> Any:
    """Compile; multiply-add may be one instruction and no lane holds NaN, nothing is reordered."""
    return njit(nogil=True, cache=True, error_model="numpy", fastmath={"contract", "nnan", "nsz"})(
        function
    )


@_compiled
def fill_decay(
    rate: Numbers, length_m: float, z: Numbers, bits: Positions, decay: Numbers, gone: Numbers
) -> None:
    """Set ``z = rate * length_m``, ``decay = exp(-z)`` and ``gone = 1 - exp(-z)``, (LANES,) each.

    Written out (range reduction and a polynomial, within 2 units in the last place of either)
    because the library's exponential takes one lane at a time. ``bits`` is scratch.
    """
    rounded = bits.view(np.float64)
    for lane in range(LANES):
        z[lane] = rate[lane] * length_m
        least = z[lane] if z[lane] < _MOST else _MOST
        t = least * _LOG2_E + _ROUND
        n = t - _ROUND
        x = (n * _LN2_HIGH - least) + n * _LN2_LOW
        p = 1.0 / 6227020800.0
        p = p * x + 1.0 / 479001600.0
        p = p * x + 1.0 / 39916800.0
        p = p * x + 1.0 / 3628800.0
        p = p * x + 1.0 / 362880.0
        p = p * x + 1.0 / 40320.0
        p = p * x + 1.0 / 5040.0
        p = p * x + 1.0 / 720.0
        p = p * x + 1.0 / 120.0
        p = p * x + 1.0 / 24.0
        p = p * x + 1.0 / 6.0
        p = p * x + 0.5
        p = p * x + 1.0
        decay[lane] = p * x
        rounded[lane] = t
    for lane in range(LANES):
        bits[lane] = (1023 - (bits[lane] - _ROUND_BITS)) << 52  # now 2**-n, read as a float
    for lane in range(LANES):
        power, less_one = rounded[lane], decay[lane]
        decay[lane] = less_one * power + power
        gone[lane] = (1.0 - power) - less_one * power


@_compiled
def fill_gamma(
    z: Numbers, decay: Numbers, gone: Numbers, k: int, gamma: Numbers, term: Numbers
) -> None:
    """Set ``gamma[m] = P(m, z)`` for m = 1..k, the regularised lower incomplete gamma.

    ``P(1, z)`` is ``gone``. Else ``P(k, z)`` by its series below z = 1 and by complement above,
    then downward: adding keeps every digit where the upward recursion would lose them on short
    stretches. ``term`` is scratch.
    """
    if k == 1:
        for lane in range(LANES):
            gamma[1, lane] = gone[lane]
        return
    largest = 0.0
    for lane in range(LANES):
        largest = max(largest, z[lane])
    _fill_poisson(z, decay, k, term)
    _fill_series(z, min(largest, 1.0), k, gamma[k])
    for lane in range(LANES):
        gamma[k, lane] *= term[lane]
    if largest >= 1.0:
        for lane in range(LANES):
            if z[lane] >= 1.0:
                total, part = decay[lane], decay[lane]
                for m in range(1, k):
                    part *= z[lane] / m
                    total += part
                gamma[k, lane] = 1.0 - total
    for m in range(k - 1, 0, -1):
        _fill_poisson(z, decay, m, term)
        for lane in range(LANES):
            gamma[m, lane] = gamma[m + 1, lane] + term[lane]


@_compiled
def _fill_poisson(z: Numbers, decay: Numbers, m: int, term: Numbers) -> None:
    """Set ``term = exp(-z) z**m / m!``."""
    for lane in range(LANES):
        term[lane] = decay[lane]
    for j in range(1, m + 1):
        inverse = 1.0 / j
        for lane in range(LANES):
            term[lane] *= z[lane] * inverse


@_compiled
def _fill_series(z: Numbers, largest: float, k: int, series: Numbers) -> None:
    """Set ``1 + z/(k+1) (1 + z/(k+2) (...))`` for z up to 1, four terms at a time, to 1e-17."""
    terms, left_out = 0, 1.0
    while left_out > 1e-17 and terms < 20:
        terms += 4
        left_out *= largest**4 / ((terms + 1.0) * terms * (terms - 1.0) * (terms - 2.0))
    for lane in range(LANES):
        series[lane] = 1.0
    for n in range(k + terms, k, -4):
        a, b, c, d = 1.0 / n, 1.0 / (n - 1), 1.0 / (n - 2), 1.0 / (n - 3)
        for lane in range(LANES):
            x = min(z[lane], 1.0)
            value = 1.0 + series[lane] * (x * a)
            value = 1.0 + value * (x * b)
            value = 1.0 + value * (x * c)
            series[lane] = 1.0 + value * (x * d)


@_compiled
def move_down(
    state: Numbers, z: Numbers, decay: Numbers, k: int, ratio: float, weight: Numbers
) -> None:
    """Carry drifters (k, LANES) over a stretch in place; those that settle or die drop out."""
    for b in range(k - 1, -1, -1):
        for lane in range(LANES):
            weight[lane] = 1.0
        for m in range(1, b + 1):
            each = ratio / m
            for lane in range(LANES):
                weight[lane] *= z[lane] * each
                state[b, lane] += state[b - m, lane] * weight[lane]
        for lane in range(LANES):
            state[b, lane] *= decay[lane]


@_compiled
def move_up(
    worth: Numbers, z: Numbers, decay: Numbers, gamma: Numbers, k: int, ratio: float,
    nursery: float, weight: Numbers,
) -> None:  # fmt: skip
    """Carry worth (k, LANES) up a stretch in place, adding what settles within it."""
    for a in range(k):
        for lane in range(LANES):
            weight[lane] = 1.0
        for m in range(1, k - a):
            each = ratio / m
            for lane in range(LANES):
                weight[lane] *= z[lane] * each
                worth[a, lane] += worth[a + m, lane] * weight[lane]
        settles = nursery * ratio ** (k - a)
        for lane in range(LANES):
            worth[a, lane] = worth[a, lane] * decay[lane] + settles * gamma[k - a, lane]


@_compiled
def count_stretch(
    state: Numbers, gamma: Numbers, k: int, ratio: float, settling: Numbers, counted: Numbers
) -> None:
    """Add what settles of ``state`` within a stretch to ``settling`` (LANES,), what dies to
    ``counted``.
    """
    for a in range(k):
        settles = ratio ** (k - a)
        for lane in range(LANES):
            settling[lane] += state[a, lane] * settles * gamma[k - a, lane]
        for b in range(a, k):
            dies = (1.0 - ratio) * ratio ** (b - a)
            for lane in range(LANES):
                counted[DIED, lane] += state[a, lane] * dies * gamma[b - a + 1, lane]


@_compiled
def fill_rate(
    cohorts: Positions, lag_days: int, pace: float, slowness: Numbers, row: int,
    rate: Numbers, day: Positions,
) -> None:  # fmt: skip
    """Set the calendar day each lane meets, held within the season-year, and its z a metre."""
    last = slowness.shape[1] - 1
    for lane in range(LANES):
        day[lane] = min(max(cohorts[lane] - lag_days, 0), last)
    for lane in range(LANES):
        rate[lane] = pace * slowness[row, day[lane]]


@_compiled
def fill_births(
    cohorts: Positions, lag_days: int, births: float, day_share: Numbers, gauge: int, born: Numbers
) -> None:
    """Set the drifters a reach releases into each lane; none outside the season-year."""
    after = day_share.shape[1] - 1  # the first and the last column stand for outside and are 0
    for lane in range(LANES):
        day = min(max(cohorts[lane] - lag_days + 1, 0), after)
        born[lane] = births * day_share[gauge, day]


@_compiled
def fill_arm_shares(
    first: int, last: int, cohorts: Positions, arm_reach: Positions, arm_share: Numbers,
    lag_days: Positions, flow_class: Positions, dries: NDArray[np.bool_], slowness: Numbers,
    share: Numbers, runs: Numbers,
) -> bool:  # fmt: skip
    """Set the share (arms, LANES) of each arm ``first:last``, dry arms handing theirs on.

    ``runs`` (LANES,) is 0 where no arm runs: those are stranded. Gives whether every arm runs in
    every lane.
    """
    final = slowness.shape[1] - 1
    all_run = True
    for arm in range(first, last):
        below = arm_reach[arm]
        row = flow_class[below]
        for lane in range(LANES):
            share[arm - first, lane] = arm_share[arm]
        if dries[row]:
            for lane in range(LANES):
                day = min(max(cohorts[lane] - lag_days[below], 0), final)
                if slowness[row, day] == 0.0:
                    share[arm - first, lane] = 0.0
                    all_run = False
    if not all_run:
        for lane in range(LANES):
            runs[lane] = 0.0
            for arm in range(last - first):
                runs[lane] += share[arm, lane]
            for arm in range(last - first):
                share[arm, lane] = share[arm, lane] / runs[lane] if runs[lane] > 0.0 else 0.0
    return all_run
