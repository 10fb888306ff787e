"""What is worth measuring: which input of which site could change what is funded there?

Section 11 of the methods page, at the price of money at the budget line. A site's inputs: its draw,
its share of draw by night, its position, its cost (a quote) and the depth at its intake; and an
option's efficacy, as a study that serves every site. What is already known is not on the list:
a metered draw, a quote, a depth read at the intake. Nor is what could change nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.measurement_worth import worth_of_knowing
from slackwater.decisions.rules import Round
from slackwater.decisions.triangular import even_shares
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.measured_inputs import (
    Tried,
    cost_tried,
    depth_tried,
    draw_tried,
    night_tried,
    position_tried,
)
from slackwater.desk.trial_draws import InputRange

Numbers = NDArray[np.float64]
DRAWS = 200


@dataclass(frozen=True)
class Measurement:
    """What knowing one input is worth.

    Attributes
    ----------
    site : offtake row; None for a study of an option, which serves all.
    input : draw, night_use_share, position, cost, depth_m, or ``efficacy`` and the option's id.
    worth_adults : adult equivalents a year gained on average by knowing before choosing.
    assumed : nobody gave the range.
    """

    site: int | None
    input: str
    worth_adults: float
    assumed: bool


def worth_measuring(
    evaluation: Evaluation, ranges: Mapping[str, InputRange], round_: Round, price: float
) -> tuple[Measurement, ...]:
    """List what is worth knowing, best first.

    Parameters
    ----------
    price : adults that a unit of money buys at the budget line.
    """
    gain, cost = open_to_choice(evaluation, round_)
    now = evaluation.sizing.feasible[:, None, :].astype(np.float64)
    share = even_shares(DRAWS)
    found = []
    for tried in (
        draw_tried(evaluation, ranges, share),
        night_tried(evaluation, ranges, share),
        position_tried(ranges, share),
        cost_tried(evaluation, share),
        depth_tried(evaluation, share),
    ):
        allowed = tried.possible if tried.input == "depth_m" else now
        worth = _worth(tried, allowed, gain, cost, price)
        found += [
            Measurement(int(site), tried.input, float(worth[site]), bool(tried.assumed[site]))
            for site in np.flatnonzero(worth > 0)
        ]
    found += _studies(evaluation, ranges, cost, price)
    return tuple(sorted(found, key=lambda m: (-m.worth_adults, m.input, m.site or 0)))


def open_to_choice(evaluation: Evaluation, round_: Round) -> tuple[Numbers, Numbers]:
    """(offtakes, options) gain and cost to the fund; 0 where the site is not open to choice.

    Each site is looked at by itself, at what it costs alone, whatever goes together.
    Options that only depth forbids are priced too: a measurement may allow them.
    """
    barred = np.logical_or.reduce(
        [flags for name, flags in evaluation.sizing.obstacles.items() if name != "depth"]
    )
    open_ = {choice.site for choice in round_.choices()} - round_.forced
    free = np.isin(np.arange(len(round_.sites)), list(open_))
    usable = free[:, None] & ~barred
    fund_share = 1 - evaluation.catchment.settings.landholder_share
    gain = np.where(usable, evaluation.gain_adults, 0.0)
    return gain, np.where(usable, fund_share * evaluation.costs.capital, 0.0)


def _worth(tried: Tried, allowed: Numbers, gain: Numbers, cost: Numbers, price: float) -> Numbers:
    """(offtakes,) worth of knowing an input, 0 where it is known already.

    ``allowed`` is (offtakes, draws, options) or broadcast to it: whether an option can go there.
    """
    paid = gain[:, None, :] * tried.gain_times - price * cost[:, None, :] * tried.cost_times
    worth: Numbers = np.where(tried.open, worth_of_knowing(paid * allowed), 0.0)
    return worth


def _studies(
    evaluation: Evaluation, ranges: Mapping[str, InputRange], cost: Numbers, price: float
) -> list[Measurement]:
    """Give what a study of each option's efficacy is worth over all sites, every guild at once.

    Guilds are drawn apart from each other, each evenly over its range in an order of its own.
    """
    catchment, efficacy = evaluation.catchment, evaluation.efficacy
    options, guilds = catchment.table("options"), catchment.table("guilds")
    table, each = catchment.table("efficacy"), ranges["efficacy"]
    rng = np.random.default_rng(0)
    feasible = evaluation.sizing.feasible & (cost > 0)
    usable_cost = np.where(feasible, cost, 0.0)
    found = []
    for option, option_id in enumerate(options.keys):
        rows = np.flatnonzero(table.text("option_id") == option_id)
        gained = np.tile(
            np.where(feasible, evaluation.gain_adults, 0.0)[:, None, :], (1, DRAWS, 1)
        )  # fmt: skip
        for row in rows:
            guild = guilds.index[str(table.text("guild_id")[row])]
            share = rng.permutation(even_shares(DRAWS))
            drawn = InputRange(
                each.low[row], each.value[row], each.high[row], each.assumed[row]
            ).at(share)  # fmt: skip
            more = drawn - efficacy.drifter[option, guild]
            adults = evaluation.worth.adults_per_settler[guild] * evaluation.exposed[guild]
            gained[:, :, option] += feasible[:, [option]] * adults[:, None] * more
        worth = worth_of_knowing(gained - price * usable_cost[:, None, :]).sum()
        if worth > 0:
            assumed = bool(each.assumed[rows].any())
            found.append(Measurement(None, f"efficacy {option_id}", float(worth), assumed))
    return found
