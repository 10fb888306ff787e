"""Of sets that gain the same, which is shown? The cheaper, then fewer screens, then ids.

Section 10 of the methods page: benefits within 1e-9 of each other are the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import EQUAL, fits
from slackwater.decisions.gains import Gains
from slackwater.decisions.rules import Choice, Round, rows_of

Numbers = NDArray[np.float64]
SWAPS_TRIED = 200


def tidy_set(
    round_: Round,
    gains: Gains,
    choices: Sequence[Choice],
    picks: Mapping[int, int],
    benefit: float,
) -> tuple[dict[int, int], float]:
    """Trade a set for one that gains as much (or more) and comes first in order of ties.

    Single moves only: drop a site, take another option at it, or take one site for another.
    """
    now, gained = dict(picks), benefit
    rows = rows_of(round_, choices)
    place = {(c.site, c.option): i for i, c in enumerate(choices)}

    def allowed(trial: Mapping[int, int]) -> bool:
        chosen = [place[k] for k in trial.items()]
        if not fits(sum(choices[i].cost for i in chosen), round_.budget):
            return False
        sums = [(row[chosen].sum(), low, high) for name, row, low, high in rows if name != "budget"]
        return all(low - EQUAL <= total <= high + EQUAL for total, low, high in sums)

    def order(trial: Mapping[int, int]) -> tuple[float, int, list[tuple[str, str]]]:
        cost = sum(choices[place[k]].cost for k in trial.items())
        ids = sorted((round_.sites[p].offtake_id, round_.option_ids[o]) for p, o in trial.items())
        return cost, len(ids), ids

    while True:
        trials = [t for t in _moves(gains, choices, now, gained) if allowed(t)]
        if not trials:
            return now, gained
        benefits = gains.benefit(trials)
        floor = gained - EQUAL * abs(gained)
        level = [(t, float(b)) for t, b in zip(trials, benefits, strict=True) if b >= floor]
        better = [
            (t, b) for t, b in level if b > gained * (1 + EQUAL) or _before(order(t), order(now))
        ]
        if not better:
            return now, gained
        now, gained = min(better, key=lambda tb: order(tb[0]))


def _before(
    one: tuple[float, int, list[tuple[str, str]]], other: tuple[float, int, list[tuple[str, str]]]
) -> bool:
    """Whether one set comes before another; costs within 1e-9 are the same."""
    if abs(one[0] - other[0]) > EQUAL * max(abs(one[0]), abs(other[0])):
        return one[0] < other[0]
    return one[1:] < other[1:]


def _moves(
    gains: Gains, choices: Sequence[Choice], picks: Mapping[int, int], benefit: float
) -> list[dict[int, int]]:
    """Sets one move away that could gain as much: by exact single changes, swaps by their sum."""
    change, loss = gains.single(picks)
    slack = 1e-6 * max(abs(benefit), 1e-12)
    dropped = {p: float(loss[p]) for p in picks}
    trials = [_without(picks, p) for p, lost in dropped.items() if lost >= -slack]
    for c in choices:
        if c.site in picks:
            if c.option != picks[c.site] and change[c.site, c.option] >= -slack:
                trials.append({**picks, c.site: c.option})
            continue
        for p, lost in dropped.items():
            if change[c.site, c.option] + lost >= -slack and len(trials) < SWAPS_TRIED:
                trials.append({**_without(picks, p), c.site: c.option})
    return trials + _exchanges(change, choices, picks, slack)


def _exchanges(
    change: Numbers, choices: Sequence[Choice], picks: Mapping[int, int], slack: float
) -> list[dict[int, int]]:
    """Sets in which two sites change their options at once and what one loses the other gains."""
    other = [c for c in choices if c.site in picks and c.option != picks[c.site]]
    trials: list[dict[int, int]] = []
    for i, one in enumerate(other):
        for two in other[i + 1 :]:
            if two.site == one.site or len(trials) >= SWAPS_TRIED:
                continue
            if abs(change[one.site, one.option] + change[two.site, two.option]) <= slack:
                trials.append({**picks, one.site: one.option, two.site: two.option})
    return trials


def _without(picks: Mapping[int, int], site: int) -> dict[int, int]:
    return {p: o for p, o in picks.items() if p != site}
