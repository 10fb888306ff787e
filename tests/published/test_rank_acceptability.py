"""How often is each of three sites first when weights are left open?"""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.decisions.by_score import Site
from slackwater.decisions.score import rank_offtakes, to_millionths
from slackwater.decisions.weightings import lists_of, random_weightings, times_funded

SOURCE = "Rank acceptability by integration over the simplex"
WHERE = "A (1,0), B (0,1), C (.6,.6), weights uniform: first .40 .40 .20; last .50 .50 0"
KNOWN = "computed from the stated formula"

RANKS = {"first": (1, (0.4, 0.4, 0.2)), "last": (3, (0.5, 0.5, 0.0))}


@pytest.mark.parametrize("which", RANKS)
def test_three_sites(which: str, agrees) -> None:
    """Over 1,000 weightings evenly spaced, midway between ties, the shares come out exactly.

    A is first where its weight is above .6, C between .4 and .6, by hand.
    """
    rank, shares = RANKS[which]
    values = np.array([1.0, 0.0, 0.6]), np.array([0.0, 1.0, 0.6])
    counts = np.zeros(3)
    for thousandths in range(1000):
        weight = (thousandths + 0.5) / 1000
        ranking = rank_offtakes(
            [("one", 2 * weight, values[0]), ("other", 2 * (1 - weight), values[1])],
            np.zeros(3), ["A", "B", "C"],
        )  # fmt: skip
        counts += ranking.rank == rank
    for name, share, count in zip("ABC", shares, counts, strict=True):
        agrees(f"{name} {which}", share, count / 1000, within=1.5e-3)


def test_funded_under_drawn_weightings(agrees) -> None:
    """With money for one of three sites, drawn weightings fund each in its share of being first.

    Of 40,000 weightings the standard error is 0.0025.
    """
    count = 40_000
    sites = [Site(name, False, True, -1, 0, {0: 1.0}) for name in "ABC"]
    values = np.array([[1.0, 0.0, 0.6], [0.0, 1.0, 0.6]])
    times = times_funded(
        lists_of(sites, ["screen"], 1.0), to_millionths(values), np.arange(3),
        random_weightings(2, count, seed=1),
    )  # fmt: skip
    for name, share, funded in zip("ABC", RANKS["first"][1], times, strict=True):
        agrees(f"{name} funded", share, funded / count, within=0.01)
