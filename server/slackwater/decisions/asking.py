"""What if a site's cost, its gain or the budget were another: would it be in the best set?

The bounds known of what any set gains say no at little cost. Only where they promise more is the
river asked, and its answer is one more bound.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.changed_rounds import held
from slackwater.decisions.clash import check_possible
from slackwater.decisions.gains import Cut, Gains
from slackwater.decisions.master import Master
from slackwater.decisions.near import in_order_of_doubt
from slackwater.decisions.price_path import cost_table, price_path
from slackwater.decisions.rules import Choice, Round
from slackwater.decisions.solver import never

Numbers = NDArray[np.float64]
SECONDS = 20.0
PARTS = 4


@dataclass(frozen=True)
class _Found:
    """A set promised the most: what it truly gains (and with more), the bound, its surroundings.

    ``doubt`` holds nested sets, from what is beyond doubt to all that is near.
    """

    picks: dict[int, int]
    benefit: float
    gained: float
    bound: float
    doubt: list[dict[int, int]]


@dataclass(frozen=True)
class Asking:
    """Asks about sets other than the best.

    Attributes
    ----------
    cuts : bounds of what any set gains, whatever the budget, costs and rules; those found on the
        way are added.
    known : sets and what they gain; those found on the way are added.
    """

    gains: Gains
    cuts: list[Cut]
    stop: Callable[[], bool] = never
    known: list[tuple[dict[int, int], float]] = field(default_factory=list)

    def better(
        self, round_: Round, than: float, more: Numbers | None = None
    ) -> tuple[dict[int, int], float] | None:
        """Give a set that gains more than a benefit (by over 1e-9 of it), and what it gains.

        Parameters
        ----------
        more : (offtakes, options) adults by which an option gains more than it does.

        Raises
        ------
        Cancelled
            Where ``stop`` said so.
        """
        choices = round_.choices()
        above = than + EQUAL * abs(than) + self._rounding if np.isfinite(than) else than
        if not choices:
            return None if above >= 0 else ({}, 0.0)
        master = self._master(round_, choices)
        picks, gained = self._in_hand(master, more)
        while gained <= above:
            found = self._asked(master, above, EQUAL, more)
            if found is None:
                return None
            picks, gained = found.picks, found.gained
            if gained <= above:
                self._add_cut(found)
        return picks, gained

    def near_best(self, round_: Round, gap: float) -> tuple[dict[int, int], float, float]:
        """Give a set, what it gains, and a bound of what any set gains, within a gap of it.

        Raises
        ------
        NoSetPossible
            Where the rules clash.
        Cancelled
            Where ``stop`` said so.
        """
        choices = round_.choices()
        check_possible(round_, choices, self.stop)
        if not choices:
            return {}, 0.0, 0.0
        master, bound = self._master(round_, choices), np.inf
        best, benefit = self._in_hand(master, None)
        while benefit < bound * (1 - gap):
            found = self._asked(master, benefit, gap / 4, None)
            if found is None:
                return best, benefit, benefit
            bound = min(bound, found.bound)
            if found.gained > benefit:
                best, benefit = found.picks, found.gained
            if benefit < bound * (1 - gap):
                self._add_cut(found)
        return best, benefit, bound

    def look_along(self, round_: Round) -> None:
        """Add a bound that is near for all sets up to a budget.

        Raises
        ------
        Cancelled
            Where ``stop`` said so.
        """
        cost = cost_table(self.gains.residents.shape, round_.choices())
        must = np.isin(np.arange(len(cost)), list(round_.forced))
        path = price_path(
            self.gains, cost, budget=round_.budget, parts=PARTS, must=must, stop=self.stop
        )
        self.cuts.append(path.cut)

    def changes_sides(
        self, round_: Round, site: int, *, inside: bool, reached: float, more: Numbers | None = None
    ) -> bool:
        """Whether the best set has a site that it lacked, or lacks one that it had.

        Parameters
        ----------
        inside : the side on which the site stood.
        reached : adults that a set with the site on that side gains; -inf where none is known.
        """
        now, other = held(round_, site, inside=inside), held(round_, site, inside=not inside)
        while True:
            rival = self.better(other, reached, more)
            if rival is None:
                return False
            answer = self.better(now, rival[1], more)
            if answer is None:
                return True
            reached = answer[1]

    def _master(self, round_: Round, choices: Sequence[Choice]) -> Master:
        if not self.cuts:
            self.look_along(round_)
        return Master(round_, choices)

    def _in_hand(self, master: Master, more: Numbers | None) -> tuple[dict[int, int], float]:
        """Give the best set known that keeps the rules; none yet: no set, minus infinity."""
        allowed = [
            (picks, benefit + _extra(more, picks))
            for picks, benefit in self.known
            if master.taken(picks).sum() == len(picks) and master.allows(picks)
        ]
        return max(allowed, key=lambda known: known[1], default=({}, -np.inf))

    def _asked(
        self, master: Master, above: float, gap: float, more: Numbers | None
    ) -> _Found | None:
        """Give the set of the largest bound; None where none is promised more than ``above``."""
        cuts = self.cuts
        if more is not None:
            cuts = [replace(cut, weights=cut.weights + more) for cut in cuts]
        try:
            relaxed = master.relax(cuts, self.stop)
        except ArithmeticError:  # no share of any set keeps the rules
            return None
        if relaxed.bound <= above:
            return None
        picks, bound = master.choose(cuts, relaxed, above, gap=gap, seconds=SECONDS, stop=self.stop)
        if picks is None or min(_value(cut, picks) for cut in cuts) <= above:
            return None
        benefit = float(self.gains.benefit([picks])[0])
        self.known.append((picks, benefit))
        in_hand = above if np.isfinite(above) else benefit
        doubt = in_order_of_doubt(master, relaxed, in_hand, picks)
        return _Found(picks, benefit, benefit + _extra(more, picks), bound, doubt)

    def _add_cut(self, found: _Found) -> None:
        """Bound every set along an order through one found, and exactly that one."""
        picks, doubt = found.picks, found.doubt
        cut = self.gains.telescoped([doubt[0], picks, doubt[-1]] if doubt else [picks])
        if _value(cut, picks) > found.benefit + EQUAL * abs(found.benefit) + self._rounding:
            self.cuts.append(self.gains.telescoped([picks]))
        self.cuts.append(cut)

    @cached_property
    def _rounding(self) -> float:
        return self.gains.rounding


def _value(cut: Cut, picks: Mapping[int, int]) -> float:
    return cut.constant + sum(float(cut.weights[p, o]) for p, o in picks.items())


def _extra(more: Numbers | None, picks: Mapping[int, int]) -> float:
    return 0.0 if more is None else sum(float(more[p, o]) for p, o in picks.items())
