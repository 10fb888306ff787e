"""What if a visit found an input at one end of its range: which set would be the best then?

The input is changed at that one site, and the set is found again in full, as after an edit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from slackwater.decisions.asking import Asking
from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.triangular import DOUBLE, HALF
from slackwater.desk.best_funding import FundingAnswer, gains_of, round_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.trial_draws import InputRange, with_values
from slackwater.progress import Progress
from slackwater.screens.cost import price_screens
from slackwater.screens.sizing import size_screens

LOW, HIGH = 0, 1


@dataclass(frozen=True)
class Found:
    """An input of one site at one end of its range.

    Attributes
    ----------
    end : 0 for the low, 1 for the high one.
    """

    site: int
    input: str
    end: int


def value_of(evaluation: Evaluation, ranges: Mapping[str, InputRange], found: Found) -> float:
    """Give the value: metres for a depth, else a multiple of what stands in the register."""
    if found.input == "depth_m":
        given = evaluation.catchment.settings.ranges.get("depth_m")
        if given:
            return given[found.end]
        catchment = evaluation.catchment
        reach_m = catchment.table("reaches").number("depth_m")[catchment.reach_index[found.site]]
        return float((HALF, DOUBLE)[found.end] * reach_m)
    each = ranges[found.input]
    return float((each.low, each.high)[found.end][found.site])


def evaluation_found(evaluation: Evaluation, found: Found, value: float) -> Evaluation:
    """Give what sets are chosen by once it stands in the register; see `with_values`."""
    if found.input != "depth_m":
        times = np.ones(len(evaluation.best_option))
        times[found.site] = value
        return with_values(evaluation, {found.input: times})
    catchment = evaluation.catchment
    offtakes = catchment.table("offtakes")
    depth = offtakes.number("intake_depth_m").copy()
    depth[found.site] = value
    measured = replace(offtakes, columns={**offtakes.columns, "intake_depth_m": depth})
    known = replace(catchment, tables={**catchment.tables, "offtakes": measured})
    sizing = size_screens(known)
    return replace(
        evaluation, catchment=known, sizing=sizing, costs=price_screens(known, sizing)
    )  # fmt: skip


def set_found(evaluation: Evaluation, answer: FundingAnswer, progress: Progress) -> dict[int, int]:
    """Find the best set anew: offtake -> option.

    Parameters
    ----------
    evaluation : with the input as it was found.
    answer : to the same question as things stand; the search begins with its set.

    Raises
    ------
    NoSetPossible
        Where the rules clash.
    Cancelled
        Where ``progress`` was told to stop.
    """
    gains, picks = gains_of(evaluation, progress), answer.certificate.picks
    round_ = round_of(evaluation, answer.budget, answer.conditions)
    possible = {p: o for p, o in picks.items() if o in round_.sites[p].cost}
    cut = gains.telescoped([possible])
    gained = cut.constant + sum(float(cut.weights[p, o]) for p, o in possible.items())
    asking = Asking(gains, [cut], lambda: progress.stopped, [(possible, gained)])
    best, _, _ = asking.near_best(round_, EQUAL)
    return best
