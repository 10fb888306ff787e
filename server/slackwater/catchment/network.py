"""Who drains to whom? Arms with their shares, an order from source to outlet, weirs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Network:
    """The river as arrays; positions are rows of the ``reaches`` table.

    Attributes
    ----------
    first_arm : (reaches + 1,) int64; the arms below reach j are ``first_arm[j]:first_arm[j+1]``,
        none at an outlet.
    arm_reach : (arms,) int64, reach an arm leads to.
    arm_share : (arms,) share of drifters, summing to 1 below each reach that is no outlet.
    order : (reaches,) int64, every reach after all those above it, heavy branch first.
    weir_survival : (guilds, reaches) share that passes the lower end alive, 1 without a weir.
    """

    first_arm: NDArray[np.int64]
    arm_reach: NDArray[np.int64]
    arm_share: NDArray[np.float64]
    order: NDArray[np.int64]
    weir_survival: NDArray[np.float64]

    @property
    def is_outlet(self) -> NDArray[np.bool_]:
        """(reaches,) true where nothing lies below."""
        no_arms: NDArray[np.bool_] = self.first_arm[1:] == self.first_arm[:-1]
        return no_arms


def arms_of(
    to_reach: Sequence[int], splits: Sequence[tuple[int, int, float]]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Give the arms below each reach; rows of ``splits`` take the place of ``to_reach``.

    Parameters
    ----------
    to_reach : position of the next reach, -1 at an outlet.
    splits : (from position, to position, share).

    Returns
    -------
    first_arm, arm_reach, arm_share : as in `Network`; shares divided by their sum.
    """
    below: list[list[tuple[int, float]]] = [[(to, 1.0)] if to >= 0 else [] for to in to_reach]
    divided: dict[int, list[tuple[int, float]]] = {}
    for origin, target, share in splits:
        divided.setdefault(origin, []).append((target, share))
    for origin, arms in divided.items():
        total = sum(share for _, share in arms)
        below[origin] = [(target, share / total) for target, share in arms]
    counts = np.array([len(arms) for arms in below], np.int64)
    first_arm = np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
    arm_reach = np.array([target for arms in below for target, _ in arms], np.int64)
    arm_share = np.array([share for arms in below for _, share in arms], np.float64)
    return first_arm, arm_reach, arm_share


def find_cycle(first_arm: NDArray[np.int64], arm_reach: NDArray[np.int64]) -> list[int]:
    """Give the reaches of one loop in running order, or an empty list where there is none."""
    state = np.zeros(len(first_arm) - 1, np.int8)  # 0 unseen, 1 on the path, 2 done
    for start in range(len(state)):
        if state[start]:
            continue
        path = [start]
        arms = [int(first_arm[start])]
        state[start] = 1
        while path:
            reach = path[-1]
            if arms[-1] == first_arm[reach + 1]:
                state[reach] = 2
                path.pop()
                arms.pop()
                continue
            below = int(arm_reach[arms[-1]])
            arms[-1] += 1
            if state[below] == 1:
                return path[path.index(below) :]
            if state[below] == 0:
                state[below] = 1
                path.append(below)
                arms.append(int(first_arm[below]))
    return []


def order_downstream(
    first_arm: NDArray[np.int64], arm_reach: NDArray[np.int64]
) -> NDArray[np.int64]:
    """Order reaches from source to outlet, each after all above it, heavy branch first.

    Post-order over the reaches above each outlet keeps few reaches open at a time, so a sweep's
    travelling state stays in the fastest cache. The network has no loop.

    Returns
    -------
    (reaches,) int64.
    """
    n = len(first_arm) - 1
    above: list[list[int]] = [[] for _ in range(n)]
    for reach in range(n):
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            above[arm_reach[arm]].append(reach)
    weight = np.ones(n, np.int64)
    waiting = [len(a) for a in above]
    ready = [reach for reach in range(n) if waiting[reach] == 0]
    while ready:  # how much lies above each reach; a divided branch may count twice, it only sorts
        reach = ready.pop()
        for arm in range(first_arm[reach], first_arm[reach + 1]):
            below = int(arm_reach[arm])
            weight[below] = min(weight[below] + weight[reach], 2**40)
            waiting[below] -= 1
            if waiting[below] == 0:
                ready.append(below)
    for a in above:
        a.sort(key=lambda reach: -int(weight[reach]))
    order: list[int] = []
    seen = np.zeros(n, bool)
    for outlet in np.flatnonzero(first_arm[1:] == first_arm[:-1]):
        stack = [(int(outlet), 0)]
        seen[outlet] = True
        while stack:
            reach, next_above = stack.pop()
            while next_above < len(above[reach]) and seen[above[reach][next_above]]:
                next_above += 1
            if next_above == len(above[reach]):
                order.append(reach)
                continue
            stack.append((reach, next_above + 1))
            seen[above[reach][next_above]] = True
            stack.append((above[reach][next_above], 0))
    return np.array(order, np.int64)
