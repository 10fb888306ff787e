"""Which sites are in the best set, or out of it, by a tenth of their cost or gain?

Section 11 of the methods page. A site that is in stays in when it costs less or gains more, so one
change of each can matter. What the bounds at the budget line settle is not asked. Weights play no
part in the best set.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.asking import Asking
from slackwater.decisions.best_set import BestSet
from slackwater.decisions.budget_line import budget_line
from slackwater.decisions.by_score import cost_of
from slackwater.decisions.changed_rounds import with_cost
from slackwater.decisions.rules import Round
from slackwater.progress import Progress

Numbers = NDArray[np.float64]
TENTH = 0.1
DEARER, CHEAPER = "its cost rises by 10 %", "its cost falls by 10 %"
LESS, MORE = "its gain falls by 10 %", "its gain rises by 10 %"


@dataclass(frozen=True)
class CloseCall:
    """A site near the line.

    Attributes
    ----------
    inside : whether it is in as things stand.
    reasons : what would change that, each on its own.
    """

    site: int
    inside: bool
    reasons: tuple[str, ...]

    @property
    def because(self) -> str:
        """Say it plainly."""
        *first, last = self.reasons
        words = f"{', '.join(first)} or {last}" if first else last
        return f"{'outside' if self.inside else 'inside'} if {words}"


def close_calls(
    round_: Round, asking: Asking, best: BestSet, single: Numbers, progress: Progress
) -> list[CloseCall]:
    """Give the sites a tenth from the line; those committed or chosen by hand are never.

    Nor are those in a group with one of them. A group turns in whole on any of its sites.

    Parameters
    ----------
    asking : with the bounds that the best set rests on.
    single : (offtakes, options) adults each option gains on its own.
    progress : counts sites; those still waiting are known from the start.

    Raises
    ------
    Cancelled
        Where ``asking`` was told to stop.
    """
    if not best.cuts:  # nothing may be chosen
        return []
    asked = _Asked(round_, asking, best, single)
    progress.expect(len(asked.sites))
    found = []
    for site in asked.sites:
        inside = site in best.picks
        reasons = tuple(asked.inside(site) if inside else asked.outside(site))
        if reasons:
            found.append(CloseCall(site, inside, reasons))
        progress.advance()
    return found


class _Asked:
    """One best set, site by site."""

    def __init__(self, round_: Round, asking: Asking, best: BestSet, single: Numbers) -> None:
        self.round, self.asking, self.best, self.single = round_, asking, best, single
        self.choices = round_.choices()
        self.sites = sorted({c.site for c in self.choices} - round_.forced)
        self.line = budget_line(round_, asking.cuts, asking.stop)
        self.changed, self.dropped = asking.gains.single(best.picks)

    def outside(self, site: int) -> Iterator[str]:
        """Say what would bring a site in."""
        more = self._more(site, TENTH)
        if self.line.bound_with(site, cost_times=1 - TENTH) > self.best.benefit:
            cheaper = with_cost(self.round, site, 1 - TENTH)
            if self._flips(cheaper, site, self.best.benefit, None):
                yield CHEAPER
        if self.line.bound_with(site, more[site]) > self.best.benefit and self._flips(
            self.round, site, self.best.benefit, more
        ):
            yield MORE

    def inside(self, site: int) -> Iterator[str]:
        """Say what would put a site out."""
        rivals = self.line.bound_without(site)
        dearer = with_cost(self.round, site, 1 + TENTH)
        reached = self._repaired(dearer, site)
        if rivals > reached and self._flips(dearer, site, reached, None):
            yield DEARER
        less = self._more(site, -TENTH)
        reached = self.best.benefit + float(less[site, self.best.picks[site]])
        if rivals > reached and self._flips(self.round, site, reached, less):
            yield LESS

    def _flips(self, round_: Round, site: int, reached: float, more: Numbers | None) -> bool:
        inside = site in self.best.picks
        return self.asking.changes_sides(round_, site, inside=inside, reached=reached, more=more)

    def _more(self, site: int, times: float) -> Numbers:
        more = np.zeros_like(self.single)
        more[site] = times * self.single[site]
        return more

    def _repaired(self, dearer: Round, site: int) -> float:
        """Adults the set gains once it fits again by dropping a site or by another option at one.

        Exact, since the benefit is affine in one offtake. Infinite where it still fits: then no
        other is better. -inf where no such move does, or where districts have shares to keep.
        """
        conditions, picks, sites = self.round.conditions, self.best.picks, dearer.sites
        if conditions.district_least or conditions.district_most:
            return -np.inf
        spare = self.round.budget - cost_of(sites, picks)
        if spare >= 0:
            return np.inf
        stays = {site, *self.round.forced, *self.round.group_of}
        moves = [
            float(self.dropped[p])
            for p, o in picks.items()
            if p not in stays and sites[p].cost[o] + spare >= 0
        ]
        moves += [
            float(self.changed[c.site, c.option])
            for c in self.choices
            if c.site in picks
            and sites[c.site].cost[picks[c.site]] - sites[c.site].cost[c.option] + spare >= 0
        ]
        return self.best.benefit + max(moves, default=-np.inf)
