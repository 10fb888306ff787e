"""Order, reach and loops of the network against networkx."""

from __future__ import annotations

import networkx as nx
import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.network import arms_of, find_cycle, order_downstream
from slackwater.river.river import prepare
from tests.random_rivers import random_river

SEEDS = st.integers(0, 10_000)


def graph_of(catchment: Catchment) -> nx.DiGraph:
    """Give reaches and arms as a graph, from the tables and not from the arrays."""
    reaches, splits = catchment.table("reaches"), catchment.table("splits")
    graph = nx.DiGraph()
    graph.add_nodes_from(reaches.text("reach_id"))
    divided = set(splits.text("from_reach"))
    for reach, to in zip(reaches.text("reach_id"), reaches.text("to_reach"), strict=True):
        if to and reach not in divided:
            graph.add_edge(reach, to)
    graph.add_edges_from(zip(splits.text("from_reach"), splits.text("to_reach"), strict=True))
    return graph


@given(SEEDS)
def test_every_reach_comes_after_all_above_it(seed: int) -> None:
    """The sweep's order is a topological order of the graph networkx sees."""
    catchment = random_river(seed)
    order = [catchment.table("reaches").keys[r] for r in catchment.network.order]
    place = {reach: i for i, reach in enumerate(order)}
    graph = graph_of(catchment)
    assert sorted(order) == sorted(graph)
    assert all(place[above] < place[below] for above, below in graph.edges)


@given(SEEDS)
def test_the_lagged_order_never_runs_backwards(seed: int) -> None:
    """A reach's lag to the outlet is at least that of the quickest reach below it."""
    river = prepare(random_river(seed))
    keys = river.catchment.table("reaches").keys
    at = {reach: i for i, reach in enumerate(keys)}
    graph = graph_of(river.catchment)
    for season in river.seasons:
        for reach in keys:
            below = [season.lag_days[at[other]] for other in graph.successors(reach)]
            assert not below or season.lag_days[at[reach]] >= min(below)


@given(SEEDS)
def test_an_offtake_takes_where_drifters_can_come_from(seed: int) -> None:
    """An offtake takes of a guild exactly if some start above it or in its own upper part."""
    catchment = random_river(seed, dry=False)
    river = prepare(catchment)
    guilds, _, offtakes = river.shape
    taken = river.measure(np.zeros((guilds, offtakes))).taken.sum(axis=1)
    keys, graph = catchment.table("reaches").keys, graph_of(catchment)
    for offtake in range(offtakes):
        reach = int(catchment.reach_index[offtake])
        above = nx.ancestors(graph, keys[reach])
        own = catchment.chainage_m[offtake] > catchment.length_m[reach] / 2
        for guild in range(guilds):
            sources = {keys[r] for r in np.flatnonzero(river.births[guild])}
            reached = bool(sources & above) or (own and keys[reach] in sources)
            assert (taken[guild, offtake] > 0) == reached


@given(SEEDS)
def test_a_loop_is_found_exactly_where_there_is_one(seed: int) -> None:
    """`find_cycle` gives a loop of real arms where networkx sees a cyclic graph, else nothing."""
    rng = np.random.default_rng(seed)
    n = int(rng.integers(2, 12))
    to_reach = [int(rng.integers(-1, n)) for _ in range(n)]
    splits = [
        (origin, int(target), 0.5)
        for origin in range(n)
        if rng.random() < 0.2
        for target in rng.choice(n, 2, replace=False)
    ]
    first_arm, arm_reach, _ = arms_of(to_reach, splits)
    graph = nx.DiGraph()
    graph.add_nodes_from(range(n))
    for origin in range(n):
        arms = arm_reach[first_arm[origin] : first_arm[origin + 1]]
        graph.add_edges_from((origin, int(t)) for t in arms)
    loop = find_cycle(first_arm, arm_reach)
    assert bool(loop) != nx.is_directed_acyclic_graph(graph)
    if loop:
        assert all(graph.has_edge(a, b) for a, b in zip(loop, loop[1:] + loop[:1], strict=True))
    else:
        place = np.argsort(order_downstream(first_arm, arm_reach))
        assert all(place[a] < place[b] for a, b in graph.edges)
