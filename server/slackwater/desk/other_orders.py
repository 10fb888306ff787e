"""What else could a budget be spent by? Orders people use, each cut where the money ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import Site, fund_in_order
from slackwater.decisions.options import NONE
from slackwater.decisions.rules import Conditions
from slackwater.desk.evaluation import Evaluation
from slackwater.errors import NoSetPossible

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class Order:
    """One way to go down the list.

    Attributes
    ----------
    rows : offtakes, the first to be funded first.
    option : (offtakes,) the screen each would get, -1 for none.
    """

    name: str
    words: str
    rows: Positions
    option: Positions

    def set_for(
        self, sites: Sequence[Site], option_ids: Sequence[str], budget: float
    ) -> dict[int, int] | None:
        """Give the set a budget buys; None where committed sites alone cost more."""
        try:
            chosen = fund_in_order(sites, self.rows, self.option.tolist(), option_ids, budget)
        except NoSetPossible:
            return None
        return dict(chosen.picks)


def chosen_by_hand(sites: Sequence[Site], conditions: Conditions) -> list[Site]:
    """Give the sites so that every order obeys hand choices: kept ones first, left ones never."""
    return [
        replace(
            site,
            committed=site.committed or site.offtake_id in conditions.kept_in,
            eligible=site.eligible
            and site.offtake_id not in (*conditions.kept_in, *conditions.left_out),
        )
        for site in sites
    ]


def other_orders(evaluation: Evaluation) -> list[Order]:
    """Give the orders: by score, larvae taken, capacity, gain per money with one screen."""
    best = evaluation.best_option
    capacity = evaluation.catchment.table("offtakes").number("capacity_m3s")
    standard, per_money = _one_screen(evaluation)
    name = evaluation.catchment.table("options").text("name")[standard]
    return [
        Order("by score", "in order of rank", evaluation.ranking.order, best),
        Order(
            "by larvae taken",
            "most drifters taken first",
            _falling(evaluation.taken.sum(axis=0)),
            best,
        ),
        Order("by capacity", "largest offtake first", _falling(capacity), best),
        Order(
            "one screen for all",
            f"gain per money, {name} wherever it can go",
            _falling(per_money),
            np.where(evaluation.sizing.feasible[:, standard], standard, NONE),
        ),
    ]


def _one_screen(evaluation: Evaluation) -> tuple[int, Numbers]:
    """Give the screen that can go on most offtakes (then the first), and gain per money with it."""
    feasible = evaluation.sizing.feasible
    standard = int(feasible.sum(axis=0).argmax())
    gain, capital = evaluation.gain_adults[:, standard], evaluation.costs.capital[:, standard]
    usable = feasible[:, standard]
    per_money = np.divide(gain, capital, out=np.full(len(gain), -np.inf), where=usable)
    return standard, per_money


def _falling(values: Numbers) -> Positions:
    """Give rows from the largest value down; equal ones as the table has them."""
    rows: Positions = np.argsort(-values, kind="stable")
    return rows
