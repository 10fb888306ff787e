"""Which set has the largest bound? A linear relaxation, what it rules out, and the rest whole.

The relaxation prices cuts and rules. By these prices each alternative at a site (an option, or
none) has a regret: what it lies behind the site's best. A set's bound is the relaxation's less its
regrets, so an alternative whose regret alone brings it below a set in hand is in no better one.
What is left undecided, the core, is small; the solver takes it whole.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array, hstack, vstack

from slackwater.decisions.gains import Cut
from slackwater.decisions.rules import Choice, Round, is_of_money, places_of, rows_of
from slackwater.decisions.solver import Problem, never, solve

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]
SCALE = 1e4
"""The sum of all weights is this many units, so that the solver's tolerance is nothing."""


@dataclass(frozen=True)
class Relaxed:
    """The relaxation, in adults.

    Attributes
    ----------
    bound : no set gains more.
    share : (choices,) of each choice in the relaxed set.
    value : (choices,) by the weights of the cuts together.
    regret, regret_none : (choices,), (sites,) what an option, or none, lies behind the best.
    charge : (choices,) what its cost is worth elsewhere, by the prices of all rules of money.
    """

    bound: float
    share: Numbers
    value: Numbers
    regret: Numbers
    regret_none: Numbers
    charge: Numbers


class Master:
    """The choice of a set under the bounds known so far.

    Attributes
    ----------
    site, option, cost : (choices,) of each choice; ``place`` numbers the sites that have any.
    """

    def __init__(self, round_: Round, choices: Sequence[Choice]) -> None:
        self.round, self.rows = round_, rows_of(round_, choices)
        self.site, self.option = places_of(choices)
        self.cost = np.array([c.cost for c in choices])
        self.sites, self.place = np.unique(self.site, return_inverse=True)
        self.is_site = np.array(self.rows.names) == "site"
        self.forced = self.rows.least[self.is_site] > 0
        self.linking = np.flatnonzero(~self.is_site)
        self.of_money = np.array([is_of_money(self.rows.names[i]) for i in self.linking])

    def relax(self, cuts: Sequence[Cut], stop: Callable[[], bool] = never) -> Relaxed:
        """Relax the choice: a share of each, and the certain bound its prices give."""
        weights, constants, unit = self._scaled(cuts)
        every = np.ones(len(self.site), np.bool_)
        found = solve(self._problem(weights, constants, ~every, every, self.forced), stop=stop)
        if found.values is None:
            raise ArithmeticError("the relaxation could not be solved")
        k = len(cuts)
        on_cut = np.maximum(found.prices[:k], 0.0)
        on_cut /= on_cut.sum()
        least, most = self.rows.least[self.linking], self.rows.most[self.linking]
        price = found.prices[k:][self.linking]
        price = np.where(np.isfinite(least), price, np.maximum(price, 0.0))
        price = np.where(np.isfinite(most), price, np.minimum(price, 0.0))
        value = on_cut @ weights
        rules = self.rows.shares[self.linking]
        kept = value - price @ rules
        best = np.where(self.forced, -np.inf, 0.0)
        np.maximum.at(best, self.place, kept)
        limit = np.where(np.isfinite(most), most, least)
        bound = on_cut @ constants + price @ limit + best.sum()
        return Relaxed(
            bound=float(bound * unit),
            share=found.values[:-1],
            value=value * unit,
            regret=(best[self.place] - kept) * unit,
            regret_none=np.where(self.forced, np.inf, best) * unit,
            charge=(price * self.of_money) @ rules * unit,
        )

    def choose(
        self,
        cuts: Sequence[Cut],
        relaxed: Relaxed,
        in_hand: float,
        *,
        gap: float,
        seconds: float,
        stop: Callable[[], bool] = never,
    ) -> tuple[dict[int, int] | None, float]:
        """Give the set of the largest bound, if over ``in_hand``, and a bound of every other.

        Parameters
        ----------
        in_hand : adults of a set known; sets that gain less are of no interest.
        """
        slack = relaxed.bound - in_hand + 1e-9 * abs(relaxed.bound)
        open_ = relaxed.regret <= slack
        none_open = relaxed.regret_none <= slack
        alternatives = np.bincount(self.place[open_], minlength=len(self.sites)) + none_open
        if (alternatives == 0).any():
            return None, in_hand
        decided = (alternatives == 1)[self.place]
        sure, core = open_ & decided, open_ & ~decided
        weights, constants, unit = self._scaled(cuts)
        problem = self._problem(weights, constants, sure, core, ~none_open)
        problem = replace(problem, whole=np.append(np.ones(core.sum(), np.bool_), False))
        found = solve(problem, gap=gap, seconds=seconds, stop=stop)
        if not found.possible:
            return None, in_hand
        bound = max(found.bound * unit, in_hand)
        if found.values is None:
            return None, bound
        taken = [*np.flatnonzero(sure), *np.flatnonzero(core)[found.values[:-1] > 0.5]]
        return {int(self.site[i]): int(self.option[i]) for i in taken}, bound

    def allows(self, picks: Mapping[int, int]) -> bool:
        """Whether a set keeps every rule."""
        chosen = np.flatnonzero(self.taken(picks))
        return self.rows.keep(chosen.tolist())

    def taken(self, picks: Mapping[int, int]) -> Flags:
        """(choices,) which of them a set holds."""
        option = np.full(len(self.round.sites), -1)
        option[list(picks)] = list(picks.values())
        flags: Flags = option[self.site] == self.option
        return flags

    def _scaled(self, cuts: Sequence[Cut]) -> tuple[Numbers, Numbers, float]:
        weights = np.array([cut.weights[self.site, self.option] for cut in cuts])
        unit = float(np.abs(weights[0]).sum()) / SCALE or 1.0
        return weights / unit, np.array([cut.constant for cut in cuts]) / unit, unit

    def _problem(
        self, weights: Numbers, constants: Numbers, sure: Flags, core: Flags, in_: Flags
    ) -> Problem:
        """Lay out what is undecided: a share a choice of the core, then the promised benefit.

        Parameters
        ----------
        sure, core : (choices,) which are taken, and which may be.
        in_ : (sites,) which must take one.
        """
        n, k = int(core.sum()), len(weights)
        done = self.rows.shares @ (sure * 1.0)
        least = self.rows.least.copy()
        least[self.is_site] = np.maximum(least[self.is_site], in_ * 1.0)
        cuts = np.column_stack((-weights[:, core], np.ones(k)))
        rules = hstack([self.rows.shares[:, core], csr_array((len(done), 1))])
        return Problem(
            objective=np.append(np.zeros(n), 1.0),
            rows=vstack([csr_array(cuts), rules]).tocsr(),
            least=np.concatenate((np.full(k, -np.inf), least - done)),
            most=np.concatenate((constants + weights[:, sure].sum(axis=1), self.rows.most - done)),
            lower=np.append(np.zeros(n), -np.inf),
            upper=np.append(np.ones(n), np.inf),
            whole=np.zeros(n + 1, np.bool_),
        )
