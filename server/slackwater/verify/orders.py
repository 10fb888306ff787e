"""What does each order of installs credit to each choice, and what does its first set gain?

Section 10 of the methods page. An order of installs goes from the least that anything could keep
out of a guild, over the set it begins with (today's screens where it begins with none), to the
most that any option could. Each install is credited with what it gains once those before it stand:
every earlier batch, and of its own batch those upstream. A set's credits add up to at least what
the set gains, and to just that for the set the order begins with.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.asked import Asked, ask
from slackwater.verify.claim import ByChoice, Claim
from slackwater.verify.kept import Screens

Numbers = NDArray[np.float64]
BOTTOM, TODAY, CHOSEN, TOP = range(4)
"""Assignments asked for; behind them stands the set that each order begins with."""

FIXED = 4


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
    gains_of_firsts : adults a year that the set each order begins with gains, by the sweep down.
    """

    screens: Screens
    asked: Asked
    orders: tuple[Credits, ...]
    gains_of_firsts: tuple[float, ...]


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
    firsts = [screens.with_set(catchment, cut.first) for cut in claim.cuts]
    chosen = screens.with_set(catchment, claim.chosen)
    kept = np.array([bottom, screens.fitted, chosen, top, *firsts])
    starts = range(FIXED, len(kept))
    # behind its first set an order goes on with that set below and everything above, and so on
    asked = ask(catchment, kept, [p for at in starts for p in ((at, BOTTOM), (TOP, at))])
    today_over_bottom = asked.mean(asked.worth_adults[TODAY] - asked.worth_adults[BOTTOM])
    orders = []
    for n, first in enumerate(firsts):
        steps = ((2 * n, bottom, first), (2 * n + 1, first, top))
        order = _telescope(catchment, screens, choices, asked, steps)
        orders.append(Credits(order.constant - today_over_bottom, order.weights))
    gains = [
        asked.mean(
            asked.worth_adults[at]
            - asked.worth_adults[TODAY]
            + screens.residents_of_set(catchment, cut.first, asked.residents_adults)
        )
        for at, cut in zip(starts, claim.cuts, strict=True)
    ]
    return Recomputed(screens, asked, tuple(orders), tuple(gains))


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
