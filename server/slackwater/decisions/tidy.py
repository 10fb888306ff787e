"""Of sets that gain the same, which is shown? The cheaper, then fewer screens, then ids.

Section 10 of the methods page: benefits within 1e-9 of each other are the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.gains import Gains
from slackwater.decisions.rules import Choice, Round, places_of, rows_of

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

    Single moves only: drop a site, take another option at it, or take one site for another; a group
    is dropped, taken or given for another in whole.
    """
    now, gained = dict(picks), benefit
    rows = rows_of(round_, choices)
    place = {(c.site, c.option): i for i, c in enumerate(choices)}

    def allowed(trial: Mapping[int, int]) -> bool:
        return rows.keep([place[k] for k in trial.items()])

    def order(trial: Mapping[int, int]) -> tuple[float, int, list[tuple[str, str]]]:
        cost = sum(choices[place[k]].cost for k in trial.items())
        ids = sorted((round_.sites[p].offtake_id, round_.option_ids[o]) for p, o in trial.items())
        return cost, len(ids), ids

    while True:
        trials = [t for t in _moves(round_, gains, choices, now, gained) if allowed(t)]
        if not trials:
            return now, gained
        benefits = gains.benefit(trials)
        equal = max(EQUAL * abs(gained), gains.rounding)
        level = [
            (t, float(b)) for t, b in zip(trials, benefits, strict=True) if b >= gained - equal
        ]
        better = [(t, b) for t, b in level if b > gained + equal or _before(order(t), order(now))]
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
    round_: Round,
    gains: Gains,
    choices: Sequence[Choice],
    picks: Mapping[int, int],
    benefit: float,
) -> list[dict[int, int]]:
    """Sets one move away that could gain as much: by exact single changes, swaps by their sum."""
    change, loss = gains.single(picks)
    slack = max(1e-6 * abs(benefit), gains.rounding)
    site, option = places_of(choices)
    change, inside = change[site, option], np.isin(site, list(picks))
    other = inside & (option != np.array([picks.get(int(p), -1) for p in site]))
    leaving = [list(unit) for unit in {round_.group_of.get(p, (p,)): None for p in picks}]
    entering = _entering(round_, choices, change, picks)
    trials = [_without(picks, unit) for unit in leaving if loss[unit].min() >= -slack]
    for i in np.flatnonzero(other & (change >= -slack)):
        trials.append({**picks, int(site[i]): int(option[i])})
    lost = np.array([loss[unit].sum() for unit in leaving])
    gained = np.array([change[taken].sum() for taken in entering])
    for i in np.flatnonzero(gained + lost.max(initial=-np.inf) >= -slack):
        new = {int(site[k]): int(option[k]) for k in entering[i]}
        level = np.flatnonzero(gained[i] + lost >= -slack)
        for n in level[: max(SWAPS_TRIED - len(trials), 0)]:
            trials.append({**_without(picks, leaving[n]), **new})
    return trials + _exchanges(change[other], site[other], option[other], picks, slack)


def _entering(
    round_: Round, choices: Sequence[Choice], change: Numbers, picks: Mapping[int, int]
) -> list[list[int]]:
    """What could enter, as positions of choices: each alone, a group at its most and cheapest."""
    found: list[list[int]] = []
    of_group: dict[int, list[int]] = {}
    for i, c in enumerate(choices):
        if c.site in round_.group_of:
            of_group.setdefault(c.site, []).append(i)
        elif c.site not in picks:
            found.append([i])
    for group in round_.groups.values():
        if group[0] in of_group and group[0] not in picks:
            own = [of_group[p] for p in group]
            found.append([max(each, key=lambda i: float(change[i])) for each in own])
            found.append([min(each, key=lambda i: choices[i].cost) for each in own])
    return found


def _exchanges(
    change: Numbers,
    site: NDArray[np.int64],
    option: NDArray[np.int64],
    picks: Mapping[int, int],
    slack: float,
) -> list[dict[int, int]]:
    """Sets in which two sites change their options at once and what one loses the other gains."""
    trials: list[dict[int, int]] = []
    for i in range(len(change)):
        level = np.abs(change[i] + change[i + 1 :]) <= slack
        level &= site[i + 1 :] != site[i]
        for j in i + 1 + np.flatnonzero(level)[: SWAPS_TRIED - len(trials)]:
            two = {int(site[k]): int(option[k]) for k in (i, j)}
            trials.append({**picks, **two})
    return trials


def _without(picks: Mapping[int, int], sites: Sequence[int]) -> dict[int, int]:
    return {p: o for p, o in picks.items() if p not in sites}
