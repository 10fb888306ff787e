"""What is money worth at the budget line, and what could a set with one more site gain?

The relaxed best set (shares of sites allowed) has prices, of money and of each other rule. By them
each choice lies behind the best at its site by a regret, and the bound less a regret bounds every
set that has that choice. Sites far from the line need no solving.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.gains import Cut
from slackwater.decisions.master import Master
from slackwater.decisions.rules import Round
from slackwater.decisions.solver import never

Numbers = NDArray[np.float64]
STEP = 0.01


@dataclass(frozen=True)
class BudgetLine:
    """What each site is worth at the line; (offtakes, options) where not said.

    Attributes
    ----------
    bound : no set gains more.
    gain : adults by the bounds together, less what rules that bind no money charge; minus infinity
        where no choice.
    charge : adults that cost is charged.
    worth : (offtakes,) what a site adds to the bound; sets without it gain so much less.
    """

    bound: float
    gain: Numbers
    charge: Numbers
    worth: Numbers

    def bound_with(
        self, site: int, gain_more: Numbers | float = 0.0, cost_times: float = 1.0
    ) -> float:
        """Bound the sets that have a site, its gain (options,) or its cost (at most now) other."""
        net = self.gain[site] + gain_more - cost_times * self.charge[site]
        return self.bound - float(self.worth[site]) + float(net.max())

    def bound_without(self, site: int) -> float:
        """Bound the sets that lack a site."""
        return self.bound - float(self.worth[site])


def budget_line(round_: Round, cuts: Sequence[Cut], stop: Callable[[], bool] = never) -> BudgetLine:
    """Find what each site is worth at the line; forced ones are left out.

    Raises
    ------
    Cancelled
        Where ``stop`` said so.
    """
    master = Master(round_, round_.choices())
    relaxed = master.relax(cuts, stop)
    free = np.isfinite(relaxed.regret_none)[master.place]
    at = master.site[free], master.option[free]
    behind = relaxed.regret_none[master.place[free]]
    shape = cuts[0].weights.shape
    gain, charge, worth = np.full(shape, -np.inf), np.zeros(shape), np.zeros(shape[0])
    charge[at] = relaxed.charge[free]
    gain[at] = relaxed.charge[free] + behind - relaxed.regret[free]
    worth[master.site[free]] = behind
    return BudgetLine(relaxed.bound, gain, charge, worth)


def price_at_line(round_: Round, cuts: Sequence[Cut], stop: Callable[[], bool] = never) -> float:
    """Adults a year that a unit of money more gains, over one per cent more of the budget.

    Raises
    ------
    Cancelled
        Where ``stop`` said so.
    """
    bounds = []
    for budget in (round_.budget, (1 + STEP) * round_.budget):
        asked = replace(round_, budget=budget)
        bounds.append(Master(asked, asked.choices()).relax(cuts, stop).bound)
    more = STEP * round_.budget
    return max(0.0, (bounds[1] - bounds[0]) / more) if more > 0 else 0.0
