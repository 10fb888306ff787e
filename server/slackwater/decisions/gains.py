"""What does a funding set gain the river, and what is a certain upper bound of that?

Section 10 of the methods page. The river is asked through `RiverAnswers`, so that this room need
not know it. For one guild a set gains more the more is kept out anywhere else, so for any order of
installs the gains of each, one after another, add up to at least what any set gains (Edmonds 1970;
Fujishige 1980). Levels are taken guild by guild: the options of a site need not form a chain.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]


class RiverAnswers(Protocol):
    """What decisions ask of the river; all in adult equivalents, mean over years."""

    def worth_adults(self, keeps_out: Numbers) -> Numbers:
        """(assignments,) worth under each of (assignments, guilds, offtakes)."""

    def exposed_adults(self, keeps_above: Numbers, keeps_below: Numbers) -> Numbers:
        """(guilds, offtakes) gain of a share more kept out, other screens as given."""


@dataclass(frozen=True)
class Cut:
    """A bound of what any set gains: ``constant`` and its ``weights`` (offtakes, options).

    ``first`` is the set its order begins with, (offtake, option) by offtake; None: today's screens.
    """

    constant: float
    weights: Numbers
    first: tuple[tuple[int, int], ...] | None


@dataclass(frozen=True)
class Gains:
    """Asks a river what sets gain.

    Attributes
    ----------
    river : see `RiverAnswers`.
    fitted : (guilds, offtakes) share of drifters kept out today.
    kept : (options, guilds) share each option keeps out.
    residents : (offtakes, options) adults that residents add, over what is fitted.
    feasible : (offtakes, options).
    """

    river: RiverAnswers
    fitted: Numbers
    kept: Numbers
    residents: Numbers
    feasible: Flags

    @cached_property
    def top(self) -> Numbers:
        """(guilds, offtakes) the most any feasible option or what is fitted keeps out."""
        offered = np.where(self.feasible[:, :, None], self.kept[None, :, :], 0.0)
        return np.maximum(offered.max(axis=1, initial=0.0).T, self.fitted)

    @cached_property
    def bottom(self) -> Numbers:
        """(guilds, offtakes) the least any feasible option or what is fitted keeps out."""
        offered = np.where(self.feasible[:, :, None], self.kept[None, :, :], 1.0)
        return np.minimum(offered.min(axis=1, initial=1.0).T, self.fitted)

    def keeps_out(self, picks: Mapping[int, int]) -> Numbers:
        """(guilds, offtakes) share kept out with an option at some offtakes."""
        keeps = self.fitted.copy()
        for offtake, option in picks.items():
            keeps[:, offtake] = self.kept[option]
        return keeps

    def benefit(self, sets: Sequence[Mapping[int, int]]) -> Numbers:
        """(sets,) adults each set gains over today."""
        keeps = np.array([self.fitted, *map(self.keeps_out, sets)])
        worth = self.river.worth_adults(keeps)
        residents = [sum(self.residents[i, o] for i, o in picks.items()) for picks in sets]
        gained: Numbers = worth[1:] - worth[0] + np.array(residents)
        return gained

    def single(self, picks: Mapping[int, int]) -> tuple[Numbers, Numbers]:
        """Change of benefit by one move away from a set, exact: benefit is affine in one offtake.

        Returns
        -------
        taken : (offtakes, options) an option in place of what the set has there.
        dropped : (offtakes,) what is fitted today in place of what the set has there.
        """
        keeps = self.keeps_out(picks)
        exposed = self.river.exposed_adults(keeps, keeps)
        now = np.zeros(len(self.residents))
        for offtake, option in picks.items():
            now[offtake] = self.residents[offtake, option]
        drifters = np.einsum("gi,iog->io", exposed, self.kept[None, :, :] - keeps.T[:, None, :])
        dropped = np.einsum("gi,gi->i", exposed, self.fitted - keeps) - now
        return drifters + self.residents - now[:, None], dropped

    def telescoped(self, first: Mapping[int, int] | None = None) -> Cut:
        """Bound every set by weights that add up along an order of installs.

        The order goes from the least that anything could keep out, to ``first`` (today's screens
        where it is None), to the most. The bound is exact for ``first``.
        """
        lowers = bool((self.bottom < self.fitted).any())
        steps = [self.keeps_out(first)] if first else [self.fitted] if lowers else []
        weights, today = self.residents.copy(), np.zeros(len(self.residents))
        before = self.bottom
        for after in [*steps, self.top]:
            exposed = self.river.exposed_adults(after, before)
            reached = np.clip(self.kept[None, :, :], before.T[:, None, :], after.T[:, None, :])
            weights += np.einsum("gi,iog->io", exposed, reached - before.T[:, None, :])
            today += np.einsum("gi,gi->i", exposed, np.clip(self.fitted, before, after) - before)
            before = after
        constant = float(today.sum()) - self._fitted_over_bottom
        begins = tuple(sorted(first.items())) if first else None
        return Cut(constant, weights - today[:, None], begins)

    @cached_property
    def rounding(self) -> float:
        """Adults below which two benefits cannot be told apart: each is a difference of worths."""
        return float(1e-13 * self.river.worth_adults(self.fitted[None])[0])

    @cached_property
    def _fitted_over_bottom(self) -> float:
        """Adults that today's screens gain over the least that anything could keep out."""
        if not (self.bottom < self.fitted).any():
            return 0.0
        low, now = self.river.worth_adults(np.array([self.bottom, self.fitted]))
        return float(now - low)
