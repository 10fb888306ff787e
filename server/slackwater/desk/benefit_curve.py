"""Benefit against budget: what each budget buys at best, and what it buys in other orders."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.curve import Curve, benefit_curve
from slackwater.decisions.gains import Gains
from slackwater.decisions.rules import Conditions, Round
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.best_set_shown import loss_adults
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.other_orders import Order, chosen_by_hand, other_orders
from slackwater.desk.set_benefit import share_of
from slackwater.progress import Progress

Numbers = NDArray[np.float64]
BUDGETS = 100
BESIDE_EVERY = 5
"""Other orders are worked out at every fifth budget."""


def curve_values(
    evaluation: Evaluation, conditions: Conditions, progress: Progress
) -> dict[str, Any]:
    """Give the curve; hand choices hold, district shares and most installs play no part.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    by_hand = Conditions(conditions.kept_in, conditions.left_out)
    round_ = round_of(evaluation, 0.0, by_hand)
    gains = gains_of(evaluation, progress)
    budgets = budgets_for(evaluation, round_)
    curve = benefit_curve(round_, gains, budgets, stop=lambda: progress.stopped)
    loss = loss_adults(evaluation)
    return {
        "budgets": curve.budgets.tolist(),
        "best": {
            "benefit_share": _shares(curve.benefit, loss),
            "upper_share": _shares(curve.upper_bound, loss),
            "gap": curve.gap.tolist(),
            "count": (curve.options >= 0).sum(axis=1).tolist(),
        },
        "others": [
            _order_values(order, round_, gains, curve.budgets, loss)
            for order in other_orders(evaluation)
        ],
        "priority": _priority(curve),
    }


def budgets_for(evaluation: Evaluation, round_: Round) -> Numbers:
    """(100,) budgets up to what the screen of highest gain would cost at every site."""
    gain, sites = evaluation.gain_adults, round_.sites
    best = [
        site.cost[max(site.cost, key=lambda o, p=p: gain[p, o])]  # type: ignore[misc]
        for p, site in enumerate(sites)
        if site.cost and (site.eligible or site.committed)
    ]
    return np.linspace(sum(best) / BUDGETS, sum(best), BUDGETS)


def _order_values(
    order: Order, round_: Round, gains: Gains, budgets: Numbers, loss: float
) -> dict[str, Any]:
    """Give what an order's sets truly gain; None at budgets between, or where there is no set."""
    shares: list[float | None] = [None] * len(budgets)
    sites = chosen_by_hand(round_.sites, round_.conditions)
    sets = {
        at: order.set_for(sites, round_.option_ids, float(budgets[at]))
        for at in range(BESIDE_EVERY - 1, len(budgets), BESIDE_EVERY)
    }
    known = {at: picks for at, picks in sets.items() if picks is not None}
    for at, benefit in zip(known, gains.benefit(list(known.values())), strict=True):
        shares[at] = share_of(float(benefit), loss)
    return {"name": order.name, "words": order.words, "benefit_share": shares}


def _priority(curve: Curve) -> dict[str, Any]:
    """Give the honest list: steps in order of what each gains for its money."""
    steps = curve.priorities
    return {
        "rows": steps.site.tolist(),
        "options": steps.option.tolist(),
        "cost": steps.cost.tolist(),
        "adults_per_1000": (1000 * steps.value / steps.cost).tolist(),
    }


def _shares(adults: Sequence[float] | Numbers, loss: float) -> list[float]:
    return [share_of(float(each), loss) for each in adults]
