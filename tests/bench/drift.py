"""How fast is the drift kernel, against scipy.sparse and networkx doing the same, in one run?

"Flows in, gains out": from daily flow to the gain of every offtake, travel time, season, lags and
draw included. Processor seconds of all threads together, since the machine is shared; only
ratios judge.
"""

from __future__ import annotations

import time

import numpy as np

from slackwater.river.blocks import full_block
from slackwater.river.kernel import LANES
from slackwater.river.river import River, prepare
from tests.bench.graph_sweep import gains_by_graph
from tests.bench.rivers import make_river
from tests.bench.sparse_sweep import gains_by_sparse

SPAWNING_DAYS = 92
SPARSE_COHORTS = 8
GRAPH_COHORTS = 1
FLOOR = 20.0
ROUNDS = 3


def ours(reaches: int, stages: int) -> tuple[float, float, River, np.ndarray]:
    """Best seconds of flows in to gains out and of the sweeps alone, with the river and gains."""
    catchment = make_river(reaches, stages, SPAWNING_DAYS)
    whole, sweeps = np.inf, np.inf
    for _ in range(ROUNDS):
        begun = time.process_time()
        river = prepare(catchment)
        keeps_out = np.zeros((1, len(catchment.reach_index)))
        prepared = time.process_time()
        measured = river.measure(keeps_out)
        done = time.process_time()
        whole, sweeps = min(whole, done - begun), min(sweeps, done - prepared)
    return whole, sweeps, river, measured.exposed[0, 0]


def compare(reaches: int, stages: int) -> float:
    """Print one comparison and give how many times faster than scipy.sparse ours is."""
    whole, _, river, _ = ours(reaches, stages)
    cohorts = river.seasons[0].blocks[1]
    conditions = river.conditions(0)
    cells = reaches * river.seasons[0].blocks.size
    ns = whole / cells * 1e9
    others = {}
    for name, function, count in (
        ("scipy.sparse", gains_by_sparse, SPARSE_COHORTS),
        ("networkx", gains_by_graph, GRAPH_COHORTS),
    ):
        begun = time.process_time()
        theirs = function(river.layout, conditions, cohorts[:count])
        others[name] = (time.process_time() - begun) / (reaches * count) * 1e9
        mine = sum(_exposed(river, np.array([c])) for c in cohorts[:count])
        worst = np.max(np.abs(mine - theirs) / np.maximum(np.abs(theirs), 1e-12))
        print(f"  {name:13s} {others[name]:10.0f} ns, {others[name] / ns:7.1f} times ours; "
              f"gains differ by {worst:.1e} relative at most")  # fmt: skip
    print(f"  {'ours':13s} {ns:10.1f} ns of processor a reach, cohort day and guild, prepared too")
    return others["scipy.sparse"] / ns


def _exposed(river: River, cohorts: np.ndarray) -> np.ndarray:
    """Gains of single cohorts by our kernels, in sweep order."""
    block = np.full(LANES, -(1 << 40), np.int64)
    block[: len(cohorts)] = cohorts
    keeps_out = np.zeros(len(river.layout.offtake_of))
    return full_block(river.layout, river.conditions(0), keeps_out, block)[3]


def run() -> bool:
    """Run all; give whether the floor of 20 times scipy.sparse held."""
    ours(200, 1)
    ours(200, 3)
    print("Flows in, gains out, 10,000 reaches, 1,000 offtakes, one guild, one season-year:")
    ratios = []
    for stages in (1, 3):
        print(f" {stages} stage(s)")
        ratios.append(compare(10_000, stages))
    print("Nanoseconds of processor a reach, cohort day and guild (both sweeps; with preparation):")
    for reaches in (10_000, 100_000):
        for stages in (1, 3):
            whole, sweeps, river, _ = ours(reaches, stages)
            cells = reaches * river.seasons[0].blocks.size
            print(f"  {reaches:7d} reaches, {stages} stage(s): sweeps {sweeps / cells * 1e9:6.1f}, "
                  f"with preparation {whole / cells * 1e9:6.1f}")  # fmt: skip
    held = min(ratios) >= FLOOR
    print(f"Floor of {FLOOR:g} times scipy.sparse: {'held' if held else 'NOT held'} "
          f"(least {min(ratios):.0f})")  # fmt: skip
    return held


if __name__ == "__main__":
    raise SystemExit(0 if run() else 1)
