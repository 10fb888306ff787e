"""Which set gains the river most for the budget, and how much more could any other gain?

Section 10 of the methods page. Each turn finds the best set under the weights known so far, asks
the river what that set truly gains, and adds weights telescoped in an order through it: those are
exact for that set and a bound for every other. The gap closes from both sides, since the best set
under bounds bounds every set.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from slackwater.decisions.by_score import cost_of, fits
from slackwater.decisions.clash import check_possible
from slackwater.decisions.gains import Cut, Gains
from slackwater.decisions.master import Master, Relaxed
from slackwater.decisions.near import improved, in_order_of_doubt, rounded
from slackwater.decisions.price_path import cost_table, price_path
from slackwater.decisions.rules import Choice, Round
from slackwater.decisions.solver import never
from slackwater.decisions.tidy import tidy_set
from slackwater.errors import Cancelled

PARTS = 3
RELAXED_TURNS = 4
WORTH_A_TURN = 0.2
"""Share of its distance to the set in hand by which the relaxation must come down each turn."""
NEAR = 0.1
"""Share of the gap to which a set of the largest bound is searched while the bounds are rough."""


@dataclass(frozen=True)
class BestSet:
    """A set and what is known of it.

    Attributes
    ----------
    picks : site position -> option position.
    benefit, upper_bound : adults a year; no set under the same rules gains more than the bound.
    cuts : the bounds it rests on, one an order of installs; they hold under any rules.
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


def _nobody(_answer: BestSet) -> None:
    """Tell nobody."""


def find_best_set(
    round_: Round,
    gains: Gains,
    *,
    gap: float = 1e-9,
    seconds: float = 60.0,
    rounds: int = 200,
    cuts: Sequence[Cut] = (),
    stop: Callable[[], bool] = never,
    found: Callable[[BestSet], None] = _nobody,
) -> BestSet:
    """Find the best set, until the gap or the time is reached.

    Parameters
    ----------
    cuts : bounds known of the same gains, whatever the budget, costs and rules they came from.
    found : told of each better set as it is found, with the bound so far.

    Raises
    ------
    NoSetPossible
        Where the rules clash.
    UsageError
        Where a hand choice cannot be made.
    Cancelled
        Where ``stop`` said so.
    """
    end = time.monotonic() + seconds
    choices = round_.choices()
    check_possible(round_, choices, stop)
    if not choices:
        return BestSet({}, 0.0, 0.0, 0.0, (), (), 0)
    search = _Search(round_, gains, choices, list(cuts), end, stop, found)
    return search.run(gap, rounds)


class _Search:
    """The sets and bounds found so far."""

    def __init__(
        self,
        round_: Round,
        gains: Gains,
        choices: Sequence[Choice],
        cuts: list[Cut],
        end: float,
        stop: Callable[[], bool],
        found: Callable[[BestSet], None],
    ) -> None:
        self.round, self.gains, self.choices = round_, gains, choices
        self.end, self.stop, self.found = end, stop, found
        self.master = Master(round_, choices)
        self.cuts = cuts or [self._path_cut()]
        self.best: dict[int, int] = {}
        self.benefit, self.bound, self.turns = -np.inf, np.inf, 0
        self.ordered: dict[frozenset[tuple[int, int]], int] = {}

    def run(self, gap: float, turns: int) -> BestSet:
        """Close the gap."""
        relaxed = self._relax()
        first = rounded(self.master, relaxed)
        if first is not None:
            self._take(first, better=True)
        for _ in range(RELAXED_TURNS):
            if self._near_enough(gap) or not np.isfinite(self.benefit):
                break
            behind = relaxed.bound - self.benefit
            self._add_cut(relaxed, self._relaxed_set(relaxed))
            again = self._relax()
            came_down, relaxed = relaxed.bound - again.bound, again
            if came_down < WORTH_A_TURN * behind:
                break
        near = NEAR
        while self.turns < turns and not self._near_enough(gap):
            picks = self._choose(relaxed, gap, near)
            if picks is None:
                break
            known = self.ordered.get(frozenset(picks.items()), 0)
            self._take(picks)
            if known < 2:
                self._add_cut(relaxed, picks)
                relaxed = self._relax()
            elif near:
                near = 0.0  # nothing new so roughly: look closely from here on
            else:
                break
        if not np.isfinite(self.benefit):
            raise TimeoutError("no set was found within the time")
        return self._tidied()

    def _path_cut(self) -> Cut:
        must = np.isin(np.arange(len(self.round.sites)), list(self.round.forced))
        cost = cost_table(self.gains.residents.shape, self.choices)
        path = price_path(
            self.gains, cost, budget=self.round.budget, parts=PARTS, must=must, stop=self.stop
        )
        return path.cut

    def _relax(self) -> Relaxed:
        relaxed = self.master.relax(self.cuts, self.stop)
        self.bound = min(self.bound, relaxed.bound)
        return relaxed

    def _choose(self, relaxed: Relaxed, gap: float, near: float) -> dict[int, int] | None:
        """Take the set of the largest bound under all cuts, or one that is near for the gap."""
        self.turns += 1
        ahead = (self.bound - self.benefit) / abs(self.bound) if self.bound else 0.0
        picks, bound = self.master.choose(
            self.cuts,
            relaxed,
            self.benefit,
            gap=max(gap / 4, near * min(ahead, 0.01)),
            seconds=self.end - time.monotonic(),
            stop=self.stop,
        )
        self.bound = min(self.bound, bound)
        return None if picks is None else self._within_budget(picks)

    def _take(self, picks: dict[int, int], *, better: bool = False) -> None:
        """Ask what a set gains; make it better where it is the best so far or ``better`` is set."""
        gained = float(self.gains.benefit([picks])[0])
        if gained <= self.benefit or not self.master.allows(picks):
            return
        self.best, self.benefit = picks, gained
        self._tell()
        if better or self.bound - gained > 1e-6 * abs(self.bound):
            more, gained = improved(self.gains, self.master, picks, gained, self._late)
            if gained > self.benefit:
                self.best, self.benefit = more, gained
                self._tell()

    def _late(self) -> bool:
        if self.stop():
            raise Cancelled("stopped as told; nothing was kept")
        return time.monotonic() > self.end

    def _add_cut(self, relaxed: Relaxed, picks: Mapping[int, int]) -> None:
        """Bound every set along an order through one; alone, where that was not exact for it."""
        key = frozenset(picks.items())
        self.ordered[key] = self.ordered.get(key, 0) + 1
        near = in_order_of_doubt(self.master, relaxed, self.benefit, picks)
        self.cuts.append(self.gains.telescoped(near if self.ordered[key] == 1 else [picks]))

    def _relaxed_set(self, relaxed: Relaxed) -> dict[int, int]:
        """Give what the relaxation takes for the most part."""
        most = np.flatnonzero(relaxed.share > 0.5)
        site, option = self.master.site[most], self.master.option[most]
        return dict(zip(site.tolist(), option.tolist(), strict=True))

    def _near_enough(self, gap: float) -> bool:
        return self._late() or self.benefit >= self.bound - gap * abs(self.bound)

    def _within_budget(self, picks: dict[int, int]) -> dict[int, int]:
        """Drop what the solver's tolerance let through over the budget, cheapest site first."""
        sites = self.round.sites
        while picks and not fits(cost_of(sites, picks), self.round.budget):
            free = [p for p in picks if p not in self.round.forced]
            if not free:
                break
            cheapest = min(free, key=lambda p: sites[p].cost[picks[p]])
            leaving = self.round.with_groups([cheapest])
            picks = {p: o for p, o in picks.items() if p not in leaving}
        return picks

    def _tell(self) -> None:
        self.found(self._answer())

    def _tidied(self) -> BestSet:
        if self.bound - self.benefit <= 1e-6 * abs(self.bound) or not self._late():
            self.best, self.benefit = tidy_set(
                self.round, self.gains, self.choices, self.best, self.benefit
            )
        return self._answer()

    def _answer(self) -> BestSet:
        bound = max(self.bound, self.benefit)
        return BestSet(
            picks=dict(self.best),
            spent=cost_of(self.round.sites, self.best),
            benefit=self.benefit,
            upper_bound=self.benefit if bound - self.benefit <= self.gains.rounding else bound,
            cuts=tuple(self.cuts),
            choices=tuple(self.choices),
            rounds=self.turns,
        )
