"""What to fund this year, and what in the years after?

Section 10 of the methods page, *Rounds*. Sets grow year by year; each round's new cost stays within
its own budget, nothing is carried over and nothing is upgraded; a group comes in one round. The
discounted sum of what the sets gain is bounded by the same cuts as one set, each in every round, in
one mixed-integer problem.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array, hstack, kron, vstack

from slackwater.decisions.by_score import EQUAL, cost_of
from slackwater.decisions.clash import check_affordable, check_possible
from slackwater.decisions.gains import Cut, Gains
from slackwater.decisions.master import SCALE
from slackwater.decisions.price_path import cost_table, price_path
from slackwater.decisions.rules import Choice, Round, places_of, rows_of
from slackwater.decisions.solver import Problem, never, solve

Numbers = NDArray[np.float64]
PARTS = 6
NEAR = 0.1
"""As for one set: share of the gap to which a plan is searched while bounds are rough."""


@dataclass(frozen=True)
class Plan:
    """What each round adds, and what is known of the whole.

    Attributes
    ----------
    added : a round, site position -> option position of what is new in it.
    costs : (rounds,) money of what is new.
    benefits : (rounds,) adults a year that the set grown so far gains over today.
    discounted, upper_bound : the discounted sum of the benefits, and what no plan under the same
        rules passes.
    """

    added: tuple[Mapping[int, int], ...]
    costs: Numbers
    benefits: Numbers
    discounted: float
    upper_bound: float
    cuts: tuple[Cut, ...]

    @property
    def gap(self) -> float:
        """Share of the bound that is not reached; 0 where the bound is 0."""
        if self.upper_bound <= 0:
            return 0.0
        return max(0.0, (self.upper_bound - self.discounted) / self.upper_bound)


def plan_rounds(
    round_: Round,
    gains: Gains,
    budgets: Sequence[float],
    discount_rate: float,
    *,
    gap: float = 1e-6,
    seconds: float = 60.0,
    turns: int = 50,
    cuts: Sequence[Cut] = (),
    stop: Callable[[], bool] = never,
) -> Plan:
    """Plan several rounds, until the gap or the time is reached.

    Parameters
    ----------
    round_ : its conditions hold for the set grown by the last round, shares of the sum of budgets;
        its own budget plays no part. Committed sites are in from the first round.
    budgets : money of each round, the first to come first.
    discount_rate : a year; the first round is not discounted.

    Raises
    ------
    NoSetPossible
        Where the rules clash even with all budgets in one, or the first cannot pay for what is
        committed.
    TimeoutError
        Where no plan was found in the time, or none keeps every round's budget.
    Cancelled
        Where ``stop`` said so.
    """
    end = time.monotonic() + seconds
    whole = replace(round_, budget=float(sum(budgets)))
    choices = whole.choices()
    check_possible(whole, choices, stop)
    check_affordable(whole, choices, budgets[0], by_hand=False)
    factors = (1 + discount_rate) ** -np.arange(len(budgets), dtype=np.float64)
    if not choices:
        nothing = np.zeros(len(budgets))
        return Plan(({},) * len(budgets), nothing, nothing, 0.0, 0.0, ())
    layout = _Layout(whole, choices, np.array(budgets, np.float64), factors)
    known = list(cuts) or [_path_cut(whole, gains, choices, stop)]
    best: tuple[list[dict[int, int]], Numbers] | None = None
    reached, bound = -np.inf, np.inf
    seen: dict[tuple[frozenset[tuple[int, int]], ...], int] = {}
    near = NEAR
    for _ in range(turns):
        ahead = (bound - reached) / abs(bound) if np.isfinite(reached) and bound else 0.01
        added, promised = layout.choose(
            known,
            best and best[0],
            gap=max(gap / 4, near * min(ahead, 0.01)),
            seconds=end - time.monotonic(),
            stop=stop,
        )
        bound = min(bound, promised)
        if added is None:
            break
        sets = _grown(added)
        benefits = gains.benefit(sets)
        if float(factors @ benefits) > reached:
            best, reached = (added, benefits), float(factors @ benefits)
        key = tuple(frozenset(one.items()) for one in sets)
        seen[key] = seen.get(key, 0) + 1
        late = time.monotonic() > end
        if late or reached >= bound - gap * abs(bound) or (seen[key] > 2 and not near):
            break
        # along the sets as they grow; where that was not exact for them, each on its own
        if seen[key] == 1:
            known.append(gains.telescoped(sets))
        elif seen[key] == 2:
            known += [gains.telescoped([one]) for one in sets]
        else:
            near = 0.0  # nothing new so roughly: look closely from here on
    if best is None:
        raise TimeoutError("no plan was found that keeps every round's budget")
    bound = max(bound, reached)
    return Plan(
        added=tuple(best[0]),
        costs=np.array([cost_of(round_.sites, one) for one in best[0]]),
        benefits=best[1],
        discounted=reached,
        upper_bound=reached if bound - reached <= factors.sum() * gains.rounding else bound,
        cuts=tuple(known),
    )


def _path_cut(
    whole: Round, gains: Gains, choices: Sequence[Choice], stop: Callable[[], bool]
) -> Cut:
    must = np.isin(np.arange(len(whole.sites)), list(whole.forced))
    cost = cost_table(gains.residents.shape, choices)
    path = price_path(gains, cost, budget=whole.budget, parts=PARTS, must=must, stop=stop)
    return path.cut


def _grown(added: Sequence[Mapping[int, int]]) -> list[dict[int, int]]:
    """Give the set after each round."""
    sets: list[dict[int, int]] = []
    for new in added:
        sets.append({**(sets[-1] if sets else {}), **new})
    return sets


class _Layout:
    """The plan as a mixed-integer problem: a share a choice and round, then what each promises."""

    def __init__(
        self, whole: Round, choices: Sequence[Choice], budgets: Numbers, factors: Numbers
    ) -> None:
        self.site, self.option = places_of(choices)
        self.budgets, self.factors = budgets, factors
        committed = np.array([whole.sites[site].committed for site in self.site])
        later = np.arange(len(budgets))[:, None] > 0
        self.open = np.where(later & committed, 0.0, 1.0).ravel()  # what is promised comes first
        rows, t, unit = rows_of(whole, choices), len(budgets), max(whole.budget, 1e-9)
        cost = np.array([[c.cost for c in choices]]) / unit
        # the rules hold for what the rounds take in all; each has a budget, and groups in whole
        in_all, each = kron(np.ones((1, t)), rows.shares), kron(np.eye(t), cost)
        of_groups = np.flatnonzero([name in whole.groups for name in rows.names])
        in_one = csr_array(kron(csr_array(np.eye(t)), rows.shares[of_groups]))
        self.rules = vstack([csr_array(in_all), csr_array(each), in_one])
        even = np.zeros(in_one.shape[0])
        self.least = np.concatenate((rows.least, np.full(t, -np.inf), even))
        self.most = np.concatenate((rows.most, budgets * (1 + EQUAL) / unit, even))

    def choose(
        self,
        cuts: Sequence[Cut],
        known: Sequence[Mapping[int, int]] | None,
        *,
        gap: float,
        seconds: float,
        stop: Callable[[], bool],
    ) -> tuple[list[dict[int, int]] | None, float]:
        """Give what each round adds in the plan of the largest bound, and a bound of any plan.

        Parameters
        ----------
        known : what each round adds in a plan to start from.
        """
        t, n = len(self.budgets), len(self.site)
        weights = np.array([cut.weights[self.site, self.option] for cut in cuts])
        unit = float(np.abs(weights[0]).sum()) / SCALE or 1.0
        so_far = np.tril(np.ones((t, t)))
        promised = hstack(
            [kron(so_far, csr_array(-weights / unit)), kron(np.eye(t), np.ones((len(cuts), 1)))]
        )
        constants = np.tile([cut.constant / unit for cut in cuts], t)
        rules = hstack([self.rules, csr_array((len(self.least), t))])
        found = solve(
            Problem(
                objective=np.concatenate((np.zeros(t * n), self.factors)),
                rows=csr_array(vstack([promised, rules])),
                least=np.concatenate((np.full(len(constants), -np.inf), self.least)),
                most=np.concatenate((constants, self.most)),
                lower=np.concatenate((np.zeros(t * n), np.full(t, -np.inf))),
                upper=np.concatenate((self.open, np.full(t, np.inf))),
                whole=np.arange(t * n + t) < t * n,
            ),
            gap=gap,
            seconds=seconds,
            start=None if known is None else self._start(known, weights / unit, constants),
            stop=stop,
        )
        if found.values is None:
            return None, found.bound * unit
        taken = found.values[: t * n].reshape(t, n) > 0.5
        return [
            {int(self.site[i]): int(self.option[i]) for i in np.flatnonzero(row)} for row in taken
        ], found.bound * unit

    def _start(
        self, known: Sequence[Mapping[int, int]], weights: Numbers, constants: Numbers
    ) -> Numbers:
        """Give the unknowns of a known plan: what it takes, and the least its cuts promise."""
        places = list(zip(self.site.tolist(), self.option.tolist(), strict=True))
        taken = np.array([[float(new.get(s, -1) == o) for s, o in places] for new in known])
        promised = np.cumsum(taken, axis=0) @ weights.T + constants[: len(weights)]
        return np.concatenate((taken.ravel(), promised.min(axis=1)))
