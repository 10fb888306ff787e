"""One block of cohorts, swept for what is asked: everything, gains alone, or worth alone.

Shares kept out are (o,) and everything given back by offtake is (o,), in sweep order.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.river.kernel import LANES, Conditions
from slackwater.river.layout import Layout
from slackwater.river.sweeps import sweep_down, sweep_up

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


def full_block(
    layout: Layout, c: Conditions, keeps_out: Numbers, cohorts: Positions
) -> tuple[Numbers, ...]:
    """Give taken, heads arriving (o, LANES), counted (5,), exposed, meeting and worth a reach."""
    n, reaches = len(keeps_out), len(layout.tail_m)
    arriving, counted = np.zeros((n, c.stages, LANES)), np.zeros((5, LANES))
    taken, exposed, meeting = np.zeros(n), np.zeros(n), np.zeros(n)
    settled, reach_worth = np.zeros(reaches + 1), np.zeros(reaches)
    sweep_down(layout, c, keeps_out, cohorts, -1, True, arriving, taken, counted, settled)
    sweep_up(layout, c, keeps_out, cohorts, arriving, -1, exposed, meeting, reach_worth)
    return taken, arriving.sum(axis=1), counted.sum(axis=1), exposed, meeting, reach_worth


def exposed_block(
    layout: Layout, c: Conditions, keeps_above: Numbers, keeps_below: Numbers, cohorts: Positions
) -> Numbers:
    """Give arrivals under one assignment x worth just below under another x share taken."""
    n, reaches = len(keeps_above), len(layout.tail_m)
    arriving, counted = np.zeros((n, c.stages, LANES)), np.zeros((5, LANES))
    taken, exposed, meeting = np.zeros(n), np.zeros(n), np.zeros(n)
    settled, reach_worth = np.zeros(reaches + 1), np.zeros(reaches)
    sweep_down(layout, c, keeps_above, cohorts, -1, False, arriving, taken, counted, settled)
    sweep_up(layout, c, keeps_below, cohorts, arriving, -1, exposed, meeting, reach_worth)
    return exposed


def worth_block(layout: Layout, c: Conditions, keeps_out: Numbers, cohorts: Positions) -> float:
    """Give the worth of what is released into these cohorts."""
    nothing, reach_worth = np.zeros(0), np.zeros(len(layout.tail_m))
    no_arrivals = np.zeros((0, c.stages, LANES))
    sweep_up(layout, c, keeps_out, cohorts, no_arrivals, -1, nothing, nothing, reach_worth)
    return float(reach_worth.sum())
