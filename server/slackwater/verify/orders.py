"""What does each order of installs credit to each choice, and what do its sets gain?

Section 10 of the methods page. An order of installs goes from the least that anything could keep
out of a guild, through its sets one after another (today's screens where it has none), to the
most that any option could. Each install is credited with what it gains once those before it stand:
every earlier batch, and of its own batch those upstream. A set's credits add up to at least what
the set gains, and to just that for a set the order passes through, if no screen before it keeps
out more than the set's own.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.asked import Asked, ask
from slackwater.verify.claim import ByChoice, Claim, CutClaim
from slackwater.verify.kept import Screens

Numbers = NDArray[np.float64]
BOTTOM, TODAY, CHOSEN, TOP = range(4)
"""Assignments asked for; behind them stand those that the orders pass through."""


@dataclass(frozen=True)
class Credits:
    """One order: what it credits to any set (constant) and to each choice in it (weights)."""

    constant: float
    weights: ByChoice


@dataclass(frozen=True)
class Recomputed:
    """All that the sweeps give for a certificate.

    Attributes
    ----------
    orders : one a cut of the certificate.
    gains_of_sets : one a cut: (which of its sets, adults a year it gains by the sweep down) for
        the last set that the order passes through just as it is; None where there is none.
    """

    screens: Screens
    asked: Asked
    orders: tuple[Credits, ...]
    gains_of_sets: tuple[tuple[int, float] | None, ...]


def recompute(
    catchment: Catchment,
    claim: Claim,
    screens: Screens,
    costs: Sequence[Mapping[str, float]],
    choices: ByChoice,
) -> Recomputed:
    """Sweep the river for everything a certificate claims.

    Parameters
    ----------
    costs : for each offtake the options that can go on it.
    choices : those that may be chosen.
    """
    bottom, top = screens.extremes(costs)
    chosen = screens.with_set(catchment, claim.chosen)
    kept, pairs = [bottom, screens.fitted, chosen, top], list[tuple[int, int]]()
    passed: list[list[int]] = []
    exact: list[tuple[int, int] | None] = []
    for cut in claim.cuts:
        places, last = [BOTTOM], None
        for n, picks in enumerate(cut.order or ({},)):
            own = screens.with_set(catchment, picks)
            kept.append(np.maximum(kept[places[-1]], own))
            places.append(len(kept) - 1)
            if (kept[-1] == own).all():
                last = (n, places[-1])
        passed.append([*places, TOP])
        exact.append(last)
        # behind a set an order goes on with that set below and the next one above
        pairs += [(above, below) for below, above in itertools.pairwise(passed[-1])]
    asked = ask(catchment, np.array(kept), pairs)
    today_over_bottom = asked.mean(asked.worth_adults[TODAY] - asked.worth_adults[BOTTOM])
    orders = []
    first = 0
    for places in passed:
        steps = [
            (first + n, kept[below], kept[above])
            for n, (below, above) in enumerate(itertools.pairwise(places))
        ]
        first += len(steps)
        order = _telescope(catchment, screens, choices, asked, steps)
        orders.append(Credits(order.constant - today_over_bottom, order.weights))
    gains = tuple(
        None if last is None else (last[0], _gained(catchment, screens, asked, cut, *last))
        for cut, last in zip(claim.cuts, exact, strict=True)
    )
    return Recomputed(screens, asked, tuple(orders), gains)


def _gained(
    catchment: Catchment, screens: Screens, asked: Asked, cut: CutClaim, n: int, place: int
) -> float:
    """Adults a year that the n-th set of an order gains, by the sweep down."""
    picks = cut.order[n] if cut.order else {}
    residents = screens.residents_of_set(catchment, picks, asked.residents_adults)
    return asked.mean(asked.worth_adults[place] - asked.worth_adults[TODAY] + residents)


def _telescope(
    catchment: Catchment,
    screens: Screens,
    choices: ByChoice,
    asked: Asked,
    steps: Sequence[tuple[int, Numbers, Numbers]],
) -> Credits:
    """Credit each choice along one order, over the least that anything could keep out.

    Parameters
    ----------
    steps : (which of the pairs asked, share kept before, share kept after the batch), the shares
        (guilds, offtakes).
    """
    index = catchment.table("offtakes").index
    credit = dict.fromkeys(choices, 0.0)
    today = np.zeros(len(index))
    for pair, before, after in steps:
        exposed = asked.exposed_adults[pair]
        today += (exposed * (np.clip(screens.fitted, before, after) - before)).sum(axis=0)
        for i, o in choices:
            at = index[i]
            reached = np.clip(screens.kept[o], before[:, at], after[:, at]) - before[:, at]
            credit[i, o] += float(exposed[:, at] @ reached)
    residents = np.einsum("y,gyi->gi", asked.year_share, asked.residents_adults)
    for i, o in choices:
        at = index[i]
        own = float(residents[:, at] @ screens.residents_over_fitted[o][:, at])
        credit[i, o] += own - float(today[at])
    return Credits(float(today.sum()), credit)
