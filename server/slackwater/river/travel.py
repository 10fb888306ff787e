"""How fast does water move, and how many days lie between a reach and the outlet?

Section 2 of the methods page. Flow in a reach is a multiple of its gauge's, and velocity a power
of flow, so the time a metre takes is ``slow_coef[reach] * slowness[class, day]`` with one class a
pair of gauge and exponent: a power a class and day, not a power a reach and day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.network import Network

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
SECONDS_A_DAY = 86400.0


@dataclass(frozen=True)
class Pace:
    """Travel time a metre, factored.

    Attributes
    ----------
    gauge : (reaches,) gauge of each reach.
    flow_class : (reaches,) class of each reach.
    slow_coef : (reaches,) so that days a metre = slow_coef * slowness of the class.
    class_gauge, class_exp : (classes,) what a class stands for.
    """

    gauge: Positions
    flow_class: Positions
    slow_coef: Numbers
    class_gauge: Positions
    class_exp: Numbers

    def slowness(self, gauge_flow_m3s: Numbers) -> Numbers:
        """(classes, days) factor of each class; 0 on a day without flow, when nobody enters.

        ``gauge_flow_m3s`` is (gauges, days).
        """
        flow = gauge_flow_m3s[self.class_gauge]
        running = flow > 0
        power = np.where(running, flow, 1.0) ** self.class_exp[:, None]
        return np.where(running, 1.0 / (SECONDS_A_DAY * power), 0.0)


def pace_of(catchment: Catchment) -> Pace:
    """Factor the travel time of every reach."""
    reaches = catchment.table("reaches")
    gauge_index = catchment.table("gauges").index
    gauge = np.array([gauge_index[str(g)] for g in reaches.text("gauge_id")], np.int64)
    exponent = reaches.number("velocity_exp")
    pairs, flow_class = np.unique(np.column_stack((gauge, exponent)), axis=0, return_inverse=True)
    return Pace(
        gauge=gauge,
        flow_class=flow_class.reshape(-1).astype(np.int64),
        slow_coef=1.0 / (catchment.velocity_coef * catchment.flow_scale**exponent),
        class_gauge=pairs[:, 0].astype(np.int64),
        class_exp=pairs[:, 1].astype(np.float64),
    )


def drifting(births: Numbers, leaving_per_day: float) -> Numbers:
    """(days,) drifters still drifting each day, ``D(t) = births(t) + exp(-rate) D(t-1)``."""
    kept = np.exp(-leaving_per_day)
    adrift = np.empty_like(births)
    before = 0.0
    for day, born in enumerate(births):
        before = born + kept * before
        adrift[day] = before
    return adrift


def lags_days(
    network: Network, pace: Pace, length_m: Numbers, slowness: Numbers, adrift: Numbers,
    drift_speed_ratio: float,
) -> Positions:  # fmt: skip
    """(reaches,) whole days from the mid-length of each reach to the outlet.

    Travel time of a reach is its mean over the days it runs, weighted by the drifters adrift.

    Parameters
    ----------
    slowness : (classes, days) as `Pace.slowness`.
    adrift : (days,) as `drifting`.
    """
    running = slowness > 0
    weight = (running * adrift).sum(axis=1)
    mean = np.divide(
        (slowness * adrift).sum(axis=1), weight, out=np.zeros(len(slowness)), where=weight > 0
    )
    travel_days = length_m * pace.slow_coef * mean[pace.flow_class] / drift_speed_ratio
    below_days = _days_below(
        network.order, network.first_arm, network.arm_reach, network.arm_share, travel_days
    )
    return np.floor(below_days + travel_days / 2 + 0.5 + 1e-6).astype(np.int64)


@njit(cache=True)
def _days_below(
    order: Positions, first_arm: Positions, arm_reach: Positions, arm_share: Numbers,
    travel_days: Numbers,
) -> Numbers:  # fmt: skip
    """(reaches,) mean days from the lower end of a reach to the outlet, over its arms."""
    below_days = np.zeros(len(order))
    for reach in order[::-1]:
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            target = arm_reach[arm]
            below_days[reach] += arm_share[arm] * (below_days[target] + travel_days[target])
    return below_days
