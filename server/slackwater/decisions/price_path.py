"""Which sets are best as money gets cheaper? A nested path of them, and its bound at every budget.

Section 10 of the methods page. Sets that gain the most less price times cost nest as the price
falls, since a screen is worth more once others are in (Topkis 1978). One pass spends the money in
even parts: each takes the steps that pay most at the set so far. The order of installs along the
path gives weights that are nearly tight at every budget.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.gains import Cut, Gains, Telescope
from slackwater.decisions.knapsack import NONE, cheapest, steps_from
from slackwater.decisions.rules import Choice
from slackwater.decisions.solver import never
from slackwater.errors import Cancelled

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class PricePath:
    """Nested sets and the bound along them.

    Attributes
    ----------
    spent : (sets,) what each set of the cut's order costs; each has all sites of the one before.
    """

    spent: Numbers
    cut: Cut


def price_path(
    gains: Gains,
    cost: Numbers,
    *,
    budget: float,
    parts: int,
    must: Flags | None = None,
    stop: Callable[[], bool] = never,
) -> PricePath:
    """Go along the path until the budget is spent or nothing more pays.

    Parameters
    ----------
    cost : (offtakes, options), infinite where an option cannot be chosen; see `cost_table`.
    budget : money; infinite for the whole path.
    parts : how many even parts it is spent in.
    must : (offtakes,) sites to begin with.

    Raises
    ------
    Cancelled
        Where ``stop`` said so.
    """
    dearest = np.where(np.isfinite(cost), cost, 0.0).max(axis=1, initial=0.0)
    budget, site = min(budget, float(dearest.sum())), np.arange(len(cost))
    telescope = Telescope(gains)
    exposed = gains.river.exposed_adults(gains.fitted, gains.fitted)
    must = np.zeros(len(cost), np.bool_) if must is None else must
    option = cheapest(gains.over_fitted(exposed), cost, must)
    spent: list[float] = []
    for part in range(1, parts + 1):
        if stop():
            raise Cancelled("stopped as told; nothing was kept")
        steps = steps_from(option, gains.over_fitted(exposed), cost)
        in_ = option != NONE
        now = float(cost[site[in_], option[in_]].sum())
        taken = steps.until(budget * (part / parts) ** 1.5 - now)
        if part < parts:
            taken = max(taken, 1)
        if not len(steps.site) or (not taken and spent):
            break
        option = option.copy()
        option[steps.site[:taken]] = steps.option[:taken]  # of one site the last step stays
        in_ = option != NONE
        spent.append(float(cost[site[in_], option[in_]].sum()))
        exposed = telescope.go_on_to(option.astype(np.int16))
    return PricePath(np.array(spent), telescope.cut())


def cost_table(shape: tuple[int, ...], choices: Sequence[Choice]) -> Numbers:
    """(offtakes, options) cost of each choice, infinite for what cannot be chosen."""
    cost = np.full(shape, np.inf)
    for choice in choices:
        cost[choice.site, choice.option] = choice.cost
    return cost
