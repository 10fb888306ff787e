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
from slackwater.decisions.gains import Cut, Gains
from slackwater.decisions.master import Master
from slackwater.decisions.near import in_order_of_doubt
from slackwater.decisions.price_path import cost_table, price_path
from slackwater.decisions.rules import Choice, Round, check_possible
from slackwater.decisions.solver import never

Numbers = NDArray[np.float64]
SECONDS = 20.0
PARTS = 4
ASKED = "asked"
"""The reason with which a site is kept in or left out while it is asked about."""


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
        found = self._in_hand(master, more)
        while found[1] <= above:
            asked = self._asked(master, above, EQUAL, more)
            if asked is None:
                return None
            found = asked[0], asked[1]
        return found

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
            asked = self._asked(master, benefit, gap / 4, None)
            if asked is None:
                return best, benefit, benefit
            picks, gained, promised = asked
            bound = min(bound, promised)
            if gained > benefit:
                best, benefit = picks, gained
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
    ) -> tuple[dict[int, int], float, float] | None:
        """Give the set of the largest bound, what it gains, and a bound of all sets.

        None where no set is promised more than ``above``. A set that does not gain so much leaves
        a bound behind that is exact for it.
        """
        cuts = self.cuts if more is None else [
            replace(cut, weights=cut.weights + more) for cut in self.cuts
        ]  # fmt: skip
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
        if benefit + _extra(more, picks) <= above or gap > EQUAL:
            order = in_order_of_doubt(master, relaxed, above, picks)
            self._add_cut([order[0], picks, order[-1]], picks, benefit)
        return picks, benefit + _extra(more, picks), bound

    def _add_cut(self, order: list[dict[int, int]], picks: dict[int, int], benefit: float) -> None:
        cut = self.gains.telescoped(order)
        if _value(cut, picks) > benefit + EQUAL * abs(benefit) + self._rounding:
            self.cuts.append(self.gains.telescoped([picks]))
        self.cuts.append(cut)

    @cached_property
    def _rounding(self) -> float:
        return self.gains.rounding


def _value(cut: Cut, picks: Mapping[int, int]) -> float:
    return cut.constant + sum(float(cut.weights[p, o]) for p, o in picks.items())


def _extra(more: Numbers | None, picks: Mapping[int, int]) -> float:
    return 0.0 if more is None else sum(float(more[p, o]) for p, o in picks.items())


def held(round_: Round, site: int, *, inside: bool) -> Round:
    """Give the round with a site kept in or left out by hand."""
    conditions, own = round_.conditions, {round_.sites[site].offtake_id: ASKED}
    if inside:
        held_so = replace(conditions, kept_in={**conditions.kept_in, **own})
    else:
        held_so = replace(conditions, left_out={**conditions.left_out, **own})
    return replace(round_, conditions=held_so)


def with_cost(round_: Round, site: int, times: float) -> Round:
    """Give the round with every option at a site dearer or cheaper."""
    sites = list(round_.sites)
    cost: Mapping[int, float] = sites[site].cost
    sites[site] = replace(sites[site], cost={o: times * money for o, money in cost.items()})
    return replace(round_, sites=sites)
