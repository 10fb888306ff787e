"""What does each budget buy, and in what order should money be spent?

Section 10 of the methods page. The nested price path gives weights that are nearly tight at every
budget; taken in order of weight for cost they are the list of what to do next, and each budget's
set is its top, filled up with what still fits. The bound of a budget is that of the multiple-choice
knapsack in which the last step may be taken in part.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.gains import FITTED, Cut, Gains, Options
from slackwater.decisions.knapsack import Steps, cheapest, most_worth, steps_from
from slackwater.decisions.price_path import PricePath, cost_table, price_path
from slackwater.decisions.rules import Round
from slackwater.decisions.solver import never
from slackwater.errors import UsageError

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
FEWEST_PARTS, MOST_PARTS, OFFTAKES_A_PART = 20, 100, 20
FILLED_FROM = 2000


@dataclass(frozen=True)
class Curve:
    """Sets and bounds at many budgets; arrays are (budgets,) unless said.

    Attributes
    ----------
    budgets, spent : money; budgets that cannot pay for what must be in are left out.
    benefit, upper_bound : adults a year of each set, and what no set within the budget passes.
    options : (budgets, offtakes) option in place in each set, -1 for what is fitted.
    priorities : the steps in order of weight for cost, with cost and weight of each; at each break
        of the budget their top is the best there is, up to the gap.
    path : the nested sets behind it; its cut bounds every set under any rules.
    """

    budgets: Numbers
    spent: Numbers
    benefit: Numbers
    upper_bound: Numbers
    options: Options
    priorities: Steps
    path: PricePath

    @property
    def gap(self) -> Numbers:
        """(budgets,) share of the bound that is not reached; 0 where the bound is 0."""
        over = np.maximum(self.upper_bound - self.benefit, 0.0)
        return np.divide(over, self.upper_bound, out=np.zeros_like(over), where=over > 0)

    def picks(self, at: int) -> dict[int, int]:
        """Give the set of one budget: site position -> option position."""
        in_ = np.flatnonzero(self.options[at] != FITTED)
        return dict(zip(in_.tolist(), self.options[at][in_].tolist(), strict=True))


def benefit_curve(
    round_: Round,
    gains: Gains,
    budgets: Numbers,
    *,
    parts: int | None = None,
    cuts: Sequence[Cut] = (),
    stop: Callable[[], bool] = never,
) -> Curve:
    """Find a set and a bound for each budget; the round's own budget plays no part.

    Parameters
    ----------
    budgets : (budgets,) money, rising.
    parts : how many parts the path is gone in; None for as many as the offtakes ask for.
    cuts : other bounds known of the same gains.

    Raises
    ------
    UsageError
        Where the round has district shares or most installs, which depend on its one budget, or
        groups, which a step a site cannot hold.
    Cancelled
        Where ``stop`` said so.
    """
    conditions = round_.conditions
    if conditions.district_least or conditions.district_most or conditions.most_installs:
        raise UsageError("a curve of budgets knows no district shares and no most installs")
    if conditions.together:
        raise UsageError("a curve of budgets knows no groups")
    offtakes = len(round_.sites)
    cost = cost_table(gains.residents.shape, round_.choices())
    must = np.isin(np.arange(offtakes), list(round_.forced))
    parts = parts or int(np.clip(offtakes // OFFTAKES_A_PART, FEWEST_PARTS, MOST_PARTS))
    path = price_path(
        gains, cost, budget=float(budgets.max()), parts=parts, must=must, stop=stop
    )  # fmt: skip
    start = cheapest(path.cut.weights, cost, must)
    steps = steps_from(start, path.cut.weights, cost)
    least = float(cost[start >= 0, start[start >= 0]].sum())
    budgets = budgets[budgets * (1 + EQUAL) >= least]
    options = np.array([_filled(start, steps, budget - least) for budget in budgets], np.int16)
    options = options.reshape(-1, offtakes)
    bounds = [_bound(cut, cost, must, budgets) for cut in (path.cut, *cuts)]
    benefit = gains.benefit_of(options) if len(options) else np.zeros(0)
    upper = np.min(bounds, axis=0)
    return Curve(
        budgets=budgets,
        spent=np.array([cost[row >= 0, row[row >= 0]].sum() for row in options]),
        benefit=benefit,
        upper_bound=np.where(upper - benefit <= gains.rounding, benefit, upper),
        options=options,
        priorities=steps,
        path=path,
    )


def _bound(cut: Cut, cost: Numbers, must: NDArray[np.bool_], budgets: Numbers) -> Numbers:
    """(budgets,) the most that any set is worth by one cut."""
    start = cheapest(cut.weights, cost, must)
    in_ = np.flatnonzero(start >= 0)
    worth = cut.constant + float(cut.weights[in_, start[in_]].sum())
    left = budgets * (1 + EQUAL) - cost[in_, start[in_]].sum()
    return most_worth(worth, steps_from(start, cut.weights, cost), left)


def _filled(start: Positions, steps: Steps, money: float) -> Positions:
    """(offtakes,) options: steps in order while they are affordable, then what still fits."""
    whole = steps.until(money)
    options = start.copy()
    options[steps.site[:whole]] = steps.option[:whole]
    left = money - float(steps.cost[:whole].sum())
    skipped: set[int] = set()
    for i in range(whole, min(whole + FILLED_FROM, len(steps.site))):
        site = int(steps.site[i])
        if steps.cost[i] <= left and site not in skipped:
            options[site] = steps.option[i]
            left -= float(steps.cost[i])
        else:
            skipped.add(site)  # its dearer steps start from this one
    return options
