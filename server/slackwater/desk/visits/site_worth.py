"""What is a visit to each site worth, which inputs would it settle, and could it change the choice?

A visit settles all of a site's inputs that can be seen there at once, so its worth is that of
knowing them together: section 11 of the methods page over one draw of each, drawn apart from each
other. A cost is settled by a quote and an option's efficacy by a study: neither is seen on a visit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.measurement_worth import worth_of_knowing
from slackwater.decisions.options import NONE
from slackwater.decisions.rules import Round
from slackwater.decisions.triangular import even_shares
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.measured_inputs import (
    Tried,
    depth_tried,
    draw_tried,
    night_tried,
    position_tried,
)
from slackwater.desk.measurements import open_to_choice
from slackwater.desk.trial_draws import InputRange

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]
Flags = NDArray[np.bool_]
DRAWS, SEED, INPUTS = 200, 11, 4
ENDS = np.array([0.0, 1.0])


@dataclass(frozen=True, eq=False)
class SiteWorth:
    """What visits are worth; rows are those of the offtakes table.

    Attributes
    ----------
    worth_adults : (offtakes,) adult equivalents a year gained on average by knowing before
        choosing; 0 where nothing that can be seen there could change the choice.
    inputs : of each offtake, what is worth knowing there, what is worth most first.
    open : (offtakes,) it is open to choice in this round.
    pays_least, pays_most : (offtakes,) over all draws, what its best option gains for its cost,
        in what money gains at the budget line: it is chosen above 1.
    ends : input -> (offtakes, 2) option that the price of money would choose at the low and the
        high end of its range; -1 for none.
    ends_pay : input -> (offtakes, 2) what the best option gains for its cost there, as above.
    unknown : input -> (offtakes,) it is not known already.
    """

    worth_adults: Numbers
    inputs: tuple[tuple[str, ...], ...]
    open: Flags
    pays_least: Numbers
    pays_most: Numbers
    ends: Mapping[str, Positions]
    ends_pay: Mapping[str, Numbers]
    unknown: Mapping[str, Flags]

    @property
    def shares_millionths(self) -> Positions:
        """(offtakes,) worth in millionths of the largest, as `share_millionths`."""
        return np.array([self.share_millionths(each) for each in self.worth_adults], np.int64)

    def share_millionths(self, worth_adults: float) -> int:
        """Give worth in millionths of the largest, to two figures: no quote can be read off it."""
        largest = float(self.worth_adults.max(initial=0.0))
        share = 1e6 * worth_adults / largest if largest > 0 else 0.0
        # what is worth anything at all does not round to nothing
        return max(round(float(f"{share:.2g}")), int(share > 0))


@dataclass(frozen=True, eq=False)
class _Choice:
    """What there is to choose from at every site; (offtakes, options)."""

    gain: Numbers
    cost: Numbers
    now: Numbers
    price: float

    def paid(self, tried: Sequence[Tried]) -> tuple[Numbers, Numbers]:
        """(offtakes, draws, options) gain and charge where the inputs are as tried together."""
        gain, charge = self.gain[:, None, :], self.price * self.cost[:, None, :]
        allowed = self.now[:, None, :]
        for each in tried:
            known = ~each.open[:, None, None]
            gain = gain * np.where(known, 1.0, each.gain_times)
            if each.input == "depth_m":
                allowed = np.where(known, allowed, each.possible)
        gained, charged = np.broadcast_arrays(gain * allowed, charge * allowed)
        return gained, charged


def site_worth(
    evaluation: Evaluation, ranges: Mapping[str, InputRange], round_: Round, price: float
) -> SiteWorth:
    """Work out what visits are worth.

    Parameters
    ----------
    price : adults that a unit of money buys at the budget line.
    """
    gain, cost = open_to_choice(evaluation, round_)
    choice = _Choice(gain, cost, evaluation.sizing.feasible.astype(np.float64), price)
    rng, even = np.random.default_rng(SEED), even_shares(DRAWS)
    apart = [rng.permutation(even) for _ in range(INPUTS)]
    gained, charged = choice.paid(_tried(evaluation, ranges, apart))
    alone = {}
    for each in _tried(evaluation, ranges, [even] * INPUTS):
        paid = np.subtract(*choice.paid((each,)))
        alone[each.input] = np.where(each.open, worth_of_knowing(paid), 0.0)
    # several inputs known together are never worth less than one of them, whatever the draws
    worth = np.max([worth_of_knowing(gained - charged), *alone.values()], axis=0)
    ends = _tried(evaluation, ranges, [ENDS] * INPUTS)
    ratio = _pays(gained, charged)
    return SiteWorth(
        worth,
        tuple(_most_first(alone, row) for row in range(len(worth))),
        np.asarray((cost > 0).any(axis=1)),
        ratio.min(axis=1),
        ratio.max(axis=1),
        {each.input: _chosen(each, choice) for each in ends},
        {each.input: _pays(*choice.paid((each,))) for each in ends},
        {each.input: each.open for each in ends},
    )


def _tried(
    evaluation: Evaluation, ranges: Mapping[str, InputRange], shares: Sequence[Numbers]
) -> tuple[Tried, ...]:
    draw, night, position, depth = shares
    return (
        draw_tried(evaluation, ranges, draw),
        night_tried(evaluation, ranges, night),
        position_tried(ranges, position),
        depth_tried(evaluation, depth),
    )


def _most_first(alone: Mapping[str, Numbers], row: int) -> tuple[str, ...]:
    worth = {name: float(values[row]) for name, values in alone.items() if values[row] > 0}
    return tuple(sorted(worth, key=lambda name: (-worth[name], name)))


def _pays(gained: Numbers, charged: Numbers) -> Numbers:
    """(offtakes, draws) what the option that pays best gains for its charge; 0 where none can."""
    none = np.zeros_like(charged)
    best: Numbers = np.divide(gained, charged, out=none, where=charged > 0).max(axis=2)
    return best


def _chosen(tried: Tried, choice: _Choice) -> Positions:
    """(offtakes, 2) the option that pays most at either end, -1 where none pays."""
    gained, charged = choice.paid((tried,))
    paid = np.where(charged > 0, gained - charged, -np.inf)
    best: Positions = np.where(paid.max(axis=2) > 0, paid.argmax(axis=2), NONE)
    return np.broadcast_to(best, (len(choice.gain), len(ENDS)))
