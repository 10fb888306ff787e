"""What does a funding set gain the river, and what is a certain upper bound of that?

Section 10 of the methods page. The river is asked through `RiverAnswers`, so that this room need
not know it. For one guild a set gains more the more is kept out anywhere else, so for any order of
installs the gains of each, one after another, add up to at least what any set gains (Edmonds 1970;
Fujishige 1980). Levels are taken guild by guild: the options of a site need not form a chain.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]
Options = NDArray[np.int16]
FITTED = -1
SETS_AT_ONCE = 8


class RiverAnswers(Protocol):
    """What decisions ask of the river; all in adult equivalents, mean over years."""

    def worth_adults(self, keeps_out: Numbers) -> Numbers:
        """(assignments,) worth under each of (assignments, guilds, offtakes)."""

    def exposed_adults(self, keeps_above: Numbers, keeps_below: Numbers) -> Numbers:
        """(guilds, offtakes) gain of a share more kept out, other screens as given."""


@dataclass(frozen=True)
class Cut:
    """A bound of what any set gains: ``constant`` and its ``weights`` (offtakes, options).

    ``order`` (sets, offtakes) is the option in place, -1 for what is fitted today, in each of the
    sets that its order of installs passes through.
    """

    constant: float
    weights: Numbers
    order: Options


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

    def options_of(self, picks: Mapping[int, int]) -> Options:
        """(offtakes,) option in place, -1 for what is fitted."""
        options = np.full(len(self.residents), FITTED, np.int16)
        options[list(picks)] = list(picks.values())
        return options

    def keeps_out(self, options: Options) -> Numbers:
        """(guilds, offtakes) share kept out with (offtakes,) options in place."""
        return np.where(options == FITTED, self.fitted, self.kept.T[:, options])

    def benefit(self, sets: Sequence[Mapping[int, int]]) -> Numbers:
        """(sets,) adults each set gains over today; what rounding alone could make is 0."""
        options = np.array([self.options_of(picks) for picks in sets], np.int16)
        return self.benefit_of(options.reshape(len(sets), -1))

    def benefit_of(self, options: Options) -> Numbers:
        """(sets,) adults gained by each of (sets, offtakes) options in place."""
        few = range(0, len(options), SETS_AT_ONCE)
        worth = [
            self.river.worth_adults(
                np.array([self.keeps_out(one) for one in options[first : first + SETS_AT_ONCE]])
            )
            for first in few
        ]
        gained: Numbers = np.concatenate([np.zeros(0), *worth]) - self.worth_today
        offtake = np.arange(options.shape[1])
        for n, one in enumerate(options):
            in_ = one != FITTED
            gained[n] += self.residents[offtake[in_], one[in_]].sum()
        gained[np.abs(gained) <= self.rounding] = 0.0
        return gained

    def over_fitted(self, exposed: Numbers) -> Numbers:
        """(offtakes, options) adults each option gains over what is fitted, other screens given.

        Parameters
        ----------
        exposed : (guilds, offtakes) gain of a share more kept out.
        """
        # one product a guild: nothing as large as offtakes x options x guilds is laid out
        drifters: Numbers = exposed.T @ self.kept.T - (exposed * self.fitted).sum(axis=0)[:, None]
        return drifters + self.residents

    def single(self, picks: Mapping[int, int]) -> tuple[Numbers, Numbers]:
        """Change of benefit by one move away from a set, exact: benefit is affine in one offtake.

        Returns
        -------
        taken : (offtakes, options) an option in place of what the set has there.
        dropped : (offtakes,) what is fitted today in place of what the set has there.
        """
        keeps = self.keeps_out(self.options_of(picks))
        exposed = self.river.exposed_adults(keeps, keeps)
        now = np.zeros(len(self.residents))
        for offtake, option in picks.items():
            now[offtake] = self.residents[offtake, option]
        dropped = (exposed * (self.fitted - keeps)).sum(axis=0) - now
        return self.over_fitted(exposed) + dropped[:, None], dropped

    def telescoped(self, sets: Iterable[Mapping[int, int]] = ()) -> Cut:
        """Bound every set by weights that add up along an order of installs.

        The order goes from the least that anything could keep out, through the sets given (today's
        screens where there are none), to the most. Where each set keeps out at least as much as
        the one before, of every guild and everywhere, the bound is exact for all of them.
        """
        telescope = Telescope(self)
        for picks in sets:
            telescope.go_on_to(self.options_of(picks))
        return telescope.cut()

    @cached_property
    def rounding(self) -> float:
        """Adults below which two benefits cannot be told apart: each is a difference of worths."""
        return 1e-13 * self.worth_today

    @cached_property
    def worth_today(self) -> float:
        """Adults that the river gives under today's screens."""
        return float(self.river.worth_adults(self.fitted[None])[0])

    @cached_property
    def _fitted_over_bottom(self) -> float:
        """Adults that today's screens gain over the least that anything could keep out."""
        if not (self.bottom < self.fitted).any():
            return 0.0
        return self.worth_today - float(self.river.worth_adults(self.bottom[None])[0])


class Telescope:
    """Adds up, batch after batch of installs, what each option is credited with.

    In a batch those upstream come first: drifters with the batch in place meet each offtake, and
    are worth what they are without it below.

    Attributes
    ----------
    reached : (guilds, offtakes) share kept out so far.
    """

    def __init__(self, gains: Gains) -> None:
        self._gains = gains
        self.reached = gains.bottom
        self._credit = np.zeros_like(gains.residents)
        self._today = np.zeros(len(gains.residents))
        self._sets: list[Options] = []

    def go_on_to(self, options: Options) -> Numbers:
        """Install what (offtakes,) options keep out more; give (guilds, offtakes) exposed then."""
        self._sets.append(options)
        return self._install(self._gains.keeps_out(options))

    def cut(self) -> Cut:
        """Install all that is left and give the bound."""
        gains = self._gains
        if not self._sets and (self.reached < gains.fitted).any():
            self._install(gains.fitted)
        self._install(gains.top)
        constant = float(self._today.sum()) - gains._fitted_over_bottom
        weights = self._credit + gains.residents - self._today[:, None]
        order = np.array(self._sets, np.int16).reshape(-1, len(weights))
        return Cut(constant, weights, order)

    def _install(self, keeps_out: Numbers) -> Numbers:
        gains, before = self._gains, self.reached
        after = np.maximum(before, keeps_out)
        exposed = gains.river.exposed_adults(after, before)
        if (after > before).any():
            at = np.flatnonzero((after > before).any(axis=0))
            low, high = before[:, at].T[:, None, :], after[:, at].T[:, None, :]
            reached = np.clip(gains.kept[None, :, :], low, high) - low
            self._credit[at] += np.einsum("gi,iog->io", exposed[:, at], reached)
            today = np.clip(gains.fitted, before, after) - before
            self._today += np.einsum("gi,gi->i", exposed, today)
        self.reached = after
        return exposed
