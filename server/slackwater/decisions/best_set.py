"""Which set gains the river most for the budget, and how much more could any other gain?

Section 10 of the methods page. Each turn of the loop finds the best set under the weights known so
far (HiGHS), asks the river what that set truly gains, and adds weights telescoped in an order that
begins with it: those are exact for that set and a bound for every other. The gap closes from both
sides, since the best set under bounds bounds every set.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from slackwater.decisions.by_score import cost_of, fits
from slackwater.decisions.gains import Cut, Gains
from slackwater.decisions.rules import Choice, Round, check_possible, rows_of
from slackwater.decisions.tidy import tidy_set

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
SCALE = 1e4
"""The sum of all weights is this many units, so that the solver's tolerance is nothing."""


@dataclass(frozen=True)
class BestSet:
    """A set and what is known of it.

    Attributes
    ----------
    picks : site position -> option position.
    benefit, upper_bound : adults a year; no set under the same rules gains more than the bound.
    cuts : the bounds it rests on, one an order of installs.
    """

    picks: Mapping[int, int]
    spent: float
    benefit: float
    upper_bound: float
    cuts: tuple[Cut, ...]
    choices: tuple[Choice, ...]
    rounds: int

    @property
    def gap(self) -> float:
        """Share of the bound that is not reached; 0 where the bound is 0."""
        if self.upper_bound <= 0:
            return 0.0
        return max(0.0, (self.upper_bound - self.benefit) / self.upper_bound)


def find_best_set(
    round_: Round, gains: Gains, *, gap: float = 1e-9, seconds: float = 60.0, rounds: int = 200
) -> BestSet:
    """Find the best set, until the gap or the time is reached.

    Raises
    ------
    NoSetPossible
        Where the rules clash.
    UsageError
        Where a hand choice cannot be made.
    """
    choices = round_.choices()
    check_possible(round_, choices)
    if not choices:
        return BestSet({}, 0.0, 0.0, 0.0, (), (), 0)
    end = time.monotonic() + seconds
    site, option = places_of(choices)
    cuts = [gains.telescoped()]
    largest = float(np.abs(cuts[0].weights[site, option]).sum())
    master = _Master(round_, choices, largest or 1.0)
    best: dict[int, int] = {}
    benefit, bound, done = -np.inf, np.inf, 0
    seen: set[frozenset[tuple[int, int]]] = set()
    while done < rounds:
        done += 1
        picks, promised = master.solve(cuts, gap / 4, max(1.0, end - time.monotonic()))
        bound = min(bound, promised)
        true = float(gains.benefit([picks])[0])
        if true > benefit:
            best, benefit = picks, true
        key = frozenset(picks.items())
        if benefit >= bound * (1 - gap) or key in seen or time.monotonic() > end:
            break
        seen.add(key)
        cuts.append(gains.telescoped(picks))
    best, benefit = tidy_set(round_, gains, choices, best, benefit)
    return BestSet(
        picks=best,
        spent=cost_of(round_.sites, best),
        benefit=benefit,
        upper_bound=benefit if bound - benefit <= gains.rounding else bound,
        cuts=tuple(cuts),
        choices=tuple(choices),
        rounds=done,
    )


def places_of(choices: Sequence[Choice]) -> tuple[Positions, Positions]:
    """Give the site and the option of each choice, to pick them out of (offtakes, options)."""
    return (
        np.array([c.site for c in choices], np.int64),
        np.array([c.option for c in choices], np.int64),
    )


class _Master:
    """The choice of a set under the bounds known so far, as a mixed-integer problem."""

    def __init__(self, round_: Round, choices: Sequence[Choice], largest: float) -> None:
        self.round, self.choices, self.unit = round_, choices, largest / SCALE
        rows = rows_of(round_, choices)
        self.rows = np.array([row for _, row, _, _ in rows])
        self.least = np.array([low for _, _, low, _ in rows])
        self.most = np.array([high for _, _, _, high in rows])

    def solve(
        self, cuts: Sequence[Cut], gap: float, seconds: float
    ) -> tuple[dict[int, int], float]:
        """Give the set of the largest bound, and a certain bound of every set.

        The unknowns are a share a choice (whole) and the promised benefit, which no cut may fall
        below.
        """
        n = len(self.choices)
        site, option = places_of(self.choices)
        scaled = np.array([cut.weights[site, option] for cut in cuts]) / self.unit
        floor = np.array([-cut.constant for cut in cuts]) / self.unit
        matrix = np.block([[self.rows, np.zeros((len(self.rows), 1))],
                           [scaled, -np.ones((len(cuts), 1))]])  # fmt: skip
        least = np.concatenate((self.least, floor))
        most = np.concatenate((self.most, np.full(len(cuts), np.inf)))
        found = milp(
            np.concatenate((np.zeros(n), [-1.0])),
            constraints=LinearConstraint(matrix, least, most),
            integrality=np.concatenate((np.ones(n), [0])),
            bounds=Bounds(
                np.concatenate((np.zeros(n), [-np.inf])), np.concatenate((np.ones(n), [np.inf]))
            ),
            options={"mip_rel_gap": gap, "time_limit": seconds},
        )
        if found.x is None:
            raise TimeoutError("the solver found no set within its time")
        picks = {c.site: c.option for c, x in zip(self.choices, found.x, strict=False) if x > 0.5}
        promised = -(found.mip_dual_bound if found.mip_dual_bound is not None else found.fun)
        return self._within_budget(picks), promised * self.unit

    def _within_budget(self, picks: dict[int, int]) -> dict[int, int]:
        """Drop what the solver's tolerance let through over the budget, cheapest first."""
        sites = self.round.sites
        while picks and not fits(cost_of(sites, picks), self.round.budget):
            free = [p for p in picks if p not in self.round.forced]
            if not free:
                break
            del picks[min(free, key=lambda p: sites[p].cost[picks[p]])]
        return picks
