"""The compiled kernels by hand: the only place where tests reach below `River`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.river.kernel import (
    DIED,
    LANES,
    count_stretch,
    fill_decay,
    fill_gamma,
    move_down,
    move_up,
)
from slackwater.river.river import River
from slackwater.river.sweeps import sweep_down

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Stretch:
    """What the kernels make of a stretch, one value of z.

    Attributes
    ----------
    passing : (k, k) from stage to stage.
    settling, dying : (k,) by the stage at the upper end.
    worth : (k,) at the upper end, given ``nursery`` and worth at the lower end.
    """

    passing: Numbers
    settling: Numbers
    dying: Numbers
    worth: Numbers


def decays_of(z: Numbers) -> Numbers:
    """(n,) exp(-z) as the kernel has it, ``LANES`` at a time."""
    given = np.resize(z, -(-len(z) // LANES) * LANES).reshape(-1, LANES)
    out = np.empty_like(given)
    for row, decay in zip(given, out, strict=True):
        fill_decay(row, 1.0, np.empty(LANES), np.empty(LANES, np.int64), decay, np.empty(LANES))
    return out.reshape(-1)[: len(z)]


def gammas_of(z: Numbers, k: int) -> Numbers:
    """(k, n) P(m, z) for m = 1..k as the kernel has it."""
    given = np.resize(z, -(-len(z) // LANES) * LANES).reshape(-1, LANES)
    out = np.empty((k + 1, *given.shape))
    for i, row in enumerate(given):
        gamma = np.empty((k + 1, LANES))
        fill_gamma(row, np.exp(-row), -np.expm1(-row), k, gamma, np.empty(LANES))
        out[:, i] = gamma
    return out.reshape(k + 1, -1)[1:, : len(z)]


def stretch_of(z: float, k: int, ratio: float, nursery: float, worth_below: Numbers) -> Stretch:
    """Run every kernel over one stretch."""
    rate, zs, decay = np.full(LANES, z), np.empty(LANES), np.empty(LANES)
    gamma, scratch = np.empty((k + 1, LANES)), np.empty(LANES)
    gone = np.empty(LANES)
    fill_decay(rate, 1.0, zs, np.empty(LANES, np.int64), decay, gone)
    fill_gamma(zs, decay, gone, k, gamma, scratch)
    passing, settling, dying = np.zeros((k, k)), np.zeros(k), np.zeros(k)
    for a in range(k):
        state = np.zeros((k, LANES))
        state[a] = 1.0
        settled, counted = np.zeros(LANES), np.zeros((5, LANES))
        count_stretch(state, gamma, k, ratio, settled, counted)
        settling[a], dying[a] = settled[0], counted[DIED, 0]
        move_down(state, zs, decay, k, ratio, scratch)
        passing[a] = state[:, 0]
    worth = np.repeat(worth_below[:, None], LANES, axis=1)
    move_up(worth, zs, decay, gamma, k, ratio, nursery, scratch)
    return Stretch(passing, settling, dying, worth[:, 0])


def settled_by_reach(river: River, keeps_out: Numbers, position: int) -> tuple[Numbers, float]:
    """Heads that settle in each reach (table order) in one season, and those left at outlets."""
    c, layout = river.conditions(position), river.layout
    kept = keeps_out[river.seasons[position].guild][layout.offtake_of]
    n = len(layout.offtake_of)
    settled = np.zeros(len(layout.reach_of) + 1)
    for cohorts in river.seasons[position].blocks:
        arriving = np.zeros((n, c.stages, LANES))
        sweep_down(
            layout, c, kept, cohorts, -1, True,
            arriving, np.zeros(n), np.zeros((5, LANES)), settled,
        )  # fmt: skip
    by_reach = np.empty(len(layout.reach_of))
    by_reach[layout.reach_of] = settled[:-1]
    return by_reach, float(settled[-1])
