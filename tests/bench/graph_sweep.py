"""The same sweep written reach by reach over a networkx graph, as a script would do it."""

from __future__ import annotations

import math

import networkx as nx
import numpy as np
from scipy.special import gammainc

from slackwater.river.kernel import Conditions
from slackwater.river.layout import Layout


def gains_by_graph(layout: Layout, c: Conditions, cohorts: np.ndarray) -> np.ndarray:
    """(o,) arrivals x worth just below x share taken, summed over cohorts; no screens fitted."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(len(layout.tail_m)))
    for reach in range(len(layout.tail_m)):
        for arm in range(layout.first_arm[reach], layout.first_arm[reach + 1]):
            graph.add_edge(reach, int(layout.arm_reach[arm]), share=float(layout.arm_share[arm]))
    order = list(nx.topological_sort(graph))
    exposed = np.zeros(len(layout.offtake_of))
    for cohort in cohorts:
        _one_cohort(graph, order, layout, c, int(cohort), exposed)
    return exposed


def _moves(c: Conditions, z: float) -> np.ndarray:
    k, moves = c.stages, np.zeros((c.stages, c.stages))
    for a in range(k):
        for b in range(a, k):
            moves[b, a] = math.exp(-z) * (c.ratio * z) ** (b - a) / math.factorial(b - a)
    return moves


def _one_cohort(
    graph: nx.DiGraph, order: list[int], layout: Layout, c: Conditions, cohort: int,
    exposed: np.ndarray,
) -> None:  # fmt: skip
    k, days = c.stages, c.slowness.shape[1]
    day = np.clip(cohort - c.lag_days, 0, days - 1)
    state = {reach: np.zeros(k) for reach in order}
    arriving: dict[int, np.ndarray] = {}
    for reach in order:
        now = state[reach]
        rate = c.pace[reach] * c.slowness[c.flow_class[reach], day[reach]]
        for event in range(layout.first_event[reach], layout.first_event[reach + 1]):
            now = _moves(c, rate * layout.event_stretch_m[event]) @ now
            offtake = layout.event_offtake[event]
            if offtake < 0:
                born = cohort - c.lag_days[reach]
                if 0 <= born < days:
                    now[0] += c.births[reach] * c.day_share[c.gauge[reach], born + 1]
            else:
                arriving[offtake] = now
                now = now * (1 - c.taken_share[offtake, day[reach]])
        now = _moves(c, rate * layout.tail_m[reach]) @ now * c.survival[reach]
        for _, below, share in graph.out_edges(reach, data="share"):
            state[below] += now * share
    worth: dict[int, np.ndarray] = {}
    for reach in reversed(order):
        arms = list(graph.out_edges(reach, data="share"))
        value = sum((worth[below] * share for _, below, share in arms), np.zeros(k))
        value = (value if arms else np.full(k, c.outlet_value)) * c.survival[reach]
        rate = c.pace[reach] * c.slowness[c.flow_class[reach], day[reach]]
        stretches = [*range(layout.first_event[reach], layout.first_event[reach + 1]), -1]
        for event in reversed(stretches):
            metres = layout.tail_m[reach] if event < 0 else layout.event_stretch_m[event]
            offtake = layout.event_offtake[event] if event >= 0 else -1
            if offtake >= 0:
                e = c.taken_share[offtake, day[reach]]
                exposed[offtake] += arriving[offtake] @ value * e
                value = value * (1 - e)
            z = rate * metres
            settles = [c.ratio ** (k - a) * gammainc(k - a, z) for a in range(k)]
            value = _moves(c, z).T @ value + c.nursery[reach] * np.array(settles)
        worth[reach] = value
