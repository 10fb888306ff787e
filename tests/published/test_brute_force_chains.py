"""Intakes in series: losses multiply, screens help each other, and greedy choice can be trapped."""

from __future__ import annotations

from itertools import product

import numpy as np

from slackwater.river.river import prepare
from tests.river_builder import chain_of_takes

SOURCE = "Product rule and brute force over all sets"
WHERE = "survival = product of (1 - PE (1 - efficacy)) over the intakes; all affordable sets tried"
KNOWN = "computed from the stated formula"

EFFICACY = 0.9
SIX_PLACES = 5e-7


def survival_of_sets(takes: list[float]) -> dict[tuple[int, ...], float]:
    """Survival of those passing, by the server, for every set of screened intakes."""
    sets = list(product((0, 1), repeat=len(takes)))
    keeps_out = np.array(sets, float)[:, None, :] * EFFICACY
    worth = prepare(chain_of_takes(takes)).worth(keeps_out)[:, 0, 0]
    return dict(zip(sets, map(float, worth), strict=True))


def affordable(
    survival: dict[tuple[int, ...], float], cost: list[float], budget: float
) -> dict[tuple[int, ...], float]:
    """Leave the sets that the budget allows."""
    return {s: v for s, v in survival.items() if np.dot(s, cost) <= budget}


def test_losses_in_series_multiply(agrees) -> None:
    """PE .05, .10, .20 in series lose 0.316 of those passing, not 0.35; three places given."""
    survival = survival_of_sets([0.05, 0.10, 0.20])
    agrees("loss of .05, .10, .20 in series", 0.316, 1 - survival[0, 0, 0], within=5e-4)


def test_supermodular_chain(agrees) -> None:
    """Two screens together gain more than each alone, and the best set is the 1st and 4th."""
    survival = survival_of_sets([0.05, 0.20, 0.10, 0.40])
    none = survival[0, 0, 0, 0]
    within = affordable(survival, [1, 3, 2, 4], 5)
    best = max(within, key=within.__getitem__)
    agrees("survival without screens", 0.410400, none, within=SIX_PLACES)
    agrees("best set", (1, 0, 0, 1), best)
    agrees("its survival", 0.687744, survival[best], within=SIX_PLACES)
    agrees("gain of the 1st alone", 0.01944, survival[1, 0, 0, 0] - none, within=5e-6)
    agrees("gain of the 4th alone", 0.24624, survival[0, 0, 0, 1] - none, within=5e-6)
    agrees("gain of both", 0.277344, survival[best] - none, within=SIX_PLACES)


def test_ratio_greedy_trap(agrees) -> None:
    """Gain per cost would take the cheap 4th and then nothing fits; the best set gains far more."""
    takes, cost, budget = [0.05, 0.20, 0.20, 0.05], [6, 5, 5, 1], 5
    survival = survival_of_sets(takes)
    none = survival[0, 0, 0, 0]
    within = affordable(survival, cost, budget)
    single = {i: survival[tuple(np.eye(4, dtype=int)[i])] - none for i in range(4)}
    spent, greedy = 0, [0, 0, 0, 0]
    for i in sorted(single, key=lambda i: -single[i] / cost[i]):
        if spent + cost[i] <= budget:
            spent, greedy[i] = spent + cost[i], 1
    agrees("best gain", 0.129960, max(within.values()) - none, within=SIX_PLACES)
    agrees("gain of greedy by gain per cost", 0.027360, survival[tuple(greedy)] - none,
           within=SIX_PLACES)  # fmt: skip
