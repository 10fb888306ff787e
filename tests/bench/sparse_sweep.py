"""The same sweep written with scipy.sparse: one triangular system a cohort, solved down and up.

Written from the methods page for comparison; it shares nothing with the server's kernels. A node
stands before every offtake and release and at the end of every reach, times the stages.
"""

from __future__ import annotations

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu
from scipy.special import gammainc

from slackwater.river.kernel import Conditions
from slackwater.river.layout import Layout


def gains_by_sparse(layout: Layout, c: Conditions, cohorts: np.ndarray) -> np.ndarray:
    """(o,) arrivals x worth just below x share taken, summed over cohorts; no screens fitted."""
    nodes = _Nodes(layout)
    exposed = np.zeros(len(layout.offtake_of))
    for cohort in cohorts:
        exposed += _one_cohort(nodes, layout, c, int(cohort))
    return exposed


class _Nodes:
    """Node numbers: the events of a reach, then its end."""

    def __init__(self, layout: Layout) -> None:
        reaches = len(layout.tail_m)
        self.reach_of_event = np.repeat(np.arange(reaches), np.diff(layout.first_event))
        self.event = np.arange(len(layout.event_offtake)) + self.reach_of_event
        self.end = layout.first_event[1:] + np.arange(reaches)
        self.begin = layout.first_event[:-1] + np.arange(reaches)
        self.count = len(self.event) + reaches
        self.arm_from = np.repeat(np.arange(reaches), np.diff(layout.first_arm))


def _one_cohort(nodes: _Nodes, layout: Layout, c: Conditions, cohort: int) -> np.ndarray:
    k, days = c.stages, c.slowness.shape[1]
    day = np.clip(cohort - c.lag_days, 0, days - 1)
    rate = c.pace * c.slowness[c.flow_class, day]
    at_event = nodes.reach_of_event
    has = layout.event_offtake >= 0
    e = np.zeros(len(has))
    e[has] = c.taken_share[layout.event_offtake[has], day[at_event[has]]]
    # the stretch into each node: length, and what is left of those at the node before it
    stretch = np.zeros(nodes.count)
    stretch[nodes.event] = layout.event_stretch_m
    stretch[nodes.end] = layout.tail_m
    reach = np.zeros(nodes.count, np.int64)
    reach[nodes.event], reach[nodes.end] = at_event, np.arange(len(nodes.end))
    z = rate[reach] * stretch
    goes_on = 1.0 - e
    start, target, share, into = [], [], [], []
    start.append(nodes.event)
    target.append(nodes.event + 1)
    share.append(goes_on)
    into.append(nodes.event + 1)
    start.append(nodes.end[nodes.arm_from])
    target.append(nodes.begin[layout.arm_reach])
    share.append(layout.arm_share * c.survival[nodes.arm_from])
    into.append(nodes.begin[layout.arm_reach])
    start, target, share, into = (np.concatenate(x) for x in (start, target, share, into))
    rows, columns, values = [], [], []
    moved = np.exp(-z)
    term = moved
    for m in range(k):
        for a in range(k - m):
            rows.append(target * k + a + m)
            columns.append(start * k + a)
            values.append(share * term[into])
        term = term * c.ratio * z / (m + 1)
    size = nodes.count * k
    moves = sp.csc_matrix(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), (size, size)
    )
    solver = splu(
        sp.identity(size, format="csc") - moves, permc_spec="NATURAL", diag_pivot_thresh=0.0
    )
    released = np.zeros(size)
    born_day = cohort - c.lag_days
    inside = (born_day >= 0) & (born_day < days)
    born = (
        np.where(inside, c.day_share[c.gauge, np.clip(born_day, 0, days - 1) + 1], 0.0) * c.births
    )
    releases = nodes.event[~has]
    # births join at their node, after the stretch into it; before the node nobody of them is
    released[releases * k] = born[at_event[~has]]
    arriving = solver.solve(released)
    settles = np.zeros((nodes.count, k))
    for a in range(k):
        settles[:, a] = c.nursery[reach] * c.ratio ** (k - a) * gammainc(k - a, z)
    gained = np.zeros((nodes.count, k))
    np.add.at(gained, start, share[:, None] * settles[into])
    outlets = layout.first_arm[1:] == layout.first_arm[:-1]
    gained[nodes.end[outlets]] += (c.outlet_value * c.survival[outlets])[:, None]
    worth = solver.solve(gained.ravel(), trans="T").reshape(nodes.count, k)
    at = nodes.event[has]
    just_below = worth[at] / goes_on[has][:, None]
    product = (arriving.reshape(nodes.count, k)[at] * just_below).sum(axis=1)
    exposed = np.zeros(len(layout.offtake_of))
    exposed[layout.event_offtake[has]] = product * e[has]
    return exposed
