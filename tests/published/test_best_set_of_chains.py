"""Does the best set find what trying every set finds, where the obvious rules fail?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater.decisions.best_set import BestSet, find_best_set
from slackwater.decisions.by_score import Site
from slackwater.decisions.gains import Gains
from slackwater.decisions.rules import Round
from slackwater.river.river import River, prepare
from tests.published.test_brute_force_chains import (
    EFFICACY,
    SIX_PLACES,
    affordable,
    survival_of_sets,
)
from tests.river_builder import chain_of_takes

SOURCE = "Brute force over all sets of intakes in series, against the best set"
WHERE = "survival = product of (1 - PE (1 - efficacy)) over the intakes; all affordable sets tried"
KNOWN = "computed from the stated formula"

Numbers = NDArray[np.float64]
CHAIN = ([0.05, 0.20, 0.10, 0.40], [1, 3, 2, 4], 0.277344)
TRAP = ([0.05, 0.20, 0.20, 0.05], [6, 5, 5, 1], 0.129960)
BUDGET = 5.0


@dataclass(frozen=True)
class OneGuildOneYear:
    """A river's settlers taken for adults."""

    river: River

    def worth_adults(self, keeps_out: Numbers) -> Numbers:
        return self.river.worth(keeps_out)[:, 0, 0]

    def exposed_adults(self, keeps_above: Numbers, keeps_below: Numbers) -> Numbers:
        return self.river.exposed(keeps_above, keeps_below)[:, 0, :]


def best_of_chain(takes: list[float], cost: list[int]) -> BestSet:
    """The best set of screens on intakes in series, one kind of screen."""
    n = len(takes)
    gains = Gains(
        OneGuildOneYear(prepare(chain_of_takes(takes))),
        fitted=np.zeros((1, n)),
        kept=np.array([[EFFICACY]]),
        residents=np.zeros((n, 1)),
        feasible=np.ones((n, 1), bool),
    )
    names = [f"intake {i + 1}" for i in range(n)]
    sites = [
        Site(name, committed=False, eligible=True, quote_option=-1, best_option=0,
             cost={0: float(price)})
        for name, price in zip(names, cost, strict=True)
    ]  # fmt: skip
    return find_best_set(Round(sites, names, ["screen"], BUDGET), gains)


@pytest.mark.parametrize(
    ("name", "takes", "cost", "gain"),
    [("supermodular chain", *CHAIN), ("ratio-greedy trap", *TRAP)],
)
def test_the_best_set_is_the_best_of_all(
    name: str, takes: list[float], cost: list[int], gain: float, agrees
) -> None:
    """The set found gains what the best of all affordable sets gains, and its bound says so."""
    found = best_of_chain(takes, cost)
    survival = survival_of_sets(takes)
    none = survival[0, 0, 0, 0]
    within = affordable(survival, cost, BUDGET)
    agrees(f"{name}: gain of the best set", gain, found.benefit, within=SIX_PLACES)
    agrees(f"{name}: best gain of all sets", gain, max(within.values()) - none, within=SIX_PLACES)
    agrees(f"{name}: certain upper bound", gain, found.upper_bound, within=SIX_PLACES)


def test_the_pair_that_helps_each_other_is_chosen(agrees) -> None:
    """In the supermodular chain the best set is the 1st and the 4th intake, for all the money."""
    takes, cost, _ = CHAIN
    found = best_of_chain(takes, cost)
    agrees("supermodular chain: the set", (1, 4), tuple(sorted(i + 1 for i in found.picks)))
    agrees("supermodular chain: spent", 5.0, found.spent, within=1e-9)
