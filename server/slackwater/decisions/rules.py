"""What may a funding set hold? Budget, committed sites, hand choices, groups, districts, installs.

Section 10 of the methods page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array, vstack

from slackwater.decisions.by_score import EQUAL, Site
from slackwater.decisions.together import check_groups, name_of
from slackwater.errors import UsageError

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class Conditions:
    """Side conditions of a funding round.

    Attributes
    ----------
    kept_in, left_out : offtake id -> the written reason.
    district_least, district_most : district -> share of the budget; committed sites count.
    most_installs : None for any number.
    together : groups of offtake ids, each in whole or not at all; see `priced_together`.
    """

    kept_in: Mapping[str, str] = field(default_factory=dict)
    left_out: Mapping[str, str] = field(default_factory=dict)
    district_least: Mapping[str, float] = field(default_factory=dict)
    district_most: Mapping[str, float] = field(default_factory=dict)
    most_installs: int | None = None
    together: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True)
class Choice:
    """One option at one site: positions of both, and its cost to the fund."""

    site: int
    option: int
    cost: float


@dataclass(frozen=True)
class Round:
    """A funding round: the sites, the budget and what must hold.

    Attributes
    ----------
    sites : at what each costs in this round, groups priced together.
    districts : district of each site; an empty one is a district of its own.
    """

    sites: Sequence[Site]
    districts: Sequence[str]
    option_ids: Sequence[str]
    budget: float
    conditions: Conditions = field(default_factory=Conditions)

    @cached_property
    def forced(self) -> frozenset[int]:
        """Positions of sites committed or kept in by hand, and of all in a group of theirs."""
        kept = self.conditions.kept_in
        return self.with_groups(
            p for p, s in enumerate(self.sites) if s.committed or s.offtake_id in kept
        )

    @cached_property
    def groups(self) -> dict[str, tuple[int, ...]]:
        """Name of each group as a rule -> positions of its sites."""
        at = {site.offtake_id: p for p, site in enumerate(self.sites)}
        return {
            name_of(group): tuple(at[name] for name in group if name in at)
            for group in self.conditions.together
        }

    @cached_property
    def group_of(self) -> dict[int, tuple[int, ...]]:
        """Position of each site in a group -> positions of all in it; others are not there."""
        return {p: group for group in self.groups.values() for p in group}

    def with_groups(self, sites: Iterable[int]) -> frozenset[int]:
        """Give positions of sites, and of all in a group of theirs."""
        return frozenset(q for p in sites for q in self.group_of.get(p, (p,)))

    def choices(self) -> list[Choice]:
        """List every option at every site that may be chosen, committed ones as they are bound.

        Raises
        ------
        UsageError
            Where a hand choice or a group names no site or cannot be made, with the reason.
        """
        self._check_hand_choices()
        by_hand = self.conditions.left_out
        left_out = self.with_groups(p for p, s in enumerate(self.sites) if s.offtake_id in by_hand)
        listed = []
        for p, site in enumerate(self.sites):
            if not site.committed and (not site.eligible or p in left_out):
                continue
            bound = site.committed and site.quote_option >= 0
            options = [site.quote_option] if bound else sorted(site.cost)
            listed += [Choice(p, o, site.cost[o]) for o in options]
        return listed

    def _check_hand_choices(self) -> None:
        by_id = {site.offtake_id: site for site in self.sites}
        for name, reason in [*self.conditions.kept_in.items(), *self.conditions.left_out.items()]:
            if name not in by_id:
                raise UsageError(f"no offtake {name!r} to choose by hand")
            if not reason.strip():
                raise UsageError(f"{name}: a hand choice needs a written reason")
            if by_id[name].committed and name in self.conditions.left_out:
                raise UsageError(f"{name} is accepted, so committed: it cannot be left out by hand")
        for name in self.conditions.kept_in:
            site = by_id[name]
            if name in self.conditions.left_out:
                raise UsageError(f"{name} is both kept in and left out")
            if not site.committed and not site.eligible:
                raise UsageError(f"{name} cannot be kept in: {site.barred or site.left_out}")
        asked = self.conditions
        check_groups(self.sites, asked.together, asked.kept_in, asked.left_out)


def places_of(choices: Sequence[Choice]) -> tuple[Positions, Positions]:
    """Give the site and the option of each choice, to pick them out of (offtakes, options)."""
    return (
        np.array([c.site for c in choices], np.int64),
        np.array([c.option for c in choices], np.int64),
    )


@dataclass(frozen=True)
class Rows:
    """The rules as ``least <= shares @ chosen <= most``, money in budgets.

    Attributes
    ----------
    names : of each rule, ``site`` for the one option a site.
    shares : (rules, choices), sparse.
    least, most : (rules,).
    """

    names: tuple[str, ...]
    shares: csr_array
    least: Numbers
    most: Numbers

    def keep(self, chosen: Sequence[int]) -> bool:
        """Whether a set of choices, by position, keeps every rule to 1e-9."""
        taken = np.zeros(self.shares.shape[1])
        taken[list(chosen)] = 1.0
        sums = self.shares @ taken
        return bool(((sums >= self.least - EQUAL) & (sums <= self.most + EQUAL)).all())


def rows_of(round_: Round, choices: Sequence[Choice]) -> Rows:
    """Give the rules: the budget, the side conditions, then one option a site."""
    unit, conditions = max(round_.budget, 1e-9), round_.conditions
    cost = np.array([c.cost for c in choices]) / unit
    places, place = np.unique([c.site for c in choices], return_inverse=True)
    district = np.array([round_.districts[c.site] for c in choices], object)
    forced = np.isin(places, list(round_.forced)) * 1.0
    one_a_site = csr_array(
        (np.ones(len(choices)), (place, np.arange(len(choices)))), (len(places), len(choices))
    )
    least, most = sorted(conditions.district_least.items()), conditions.district_most.items()
    more = [(f"district {n} least", cost * (district == n), s, np.inf) for n, s in least]
    more += [(f"district {n} most", cost * (district == n), -np.inf, s) for n, s in sorted(most)]
    if conditions.most_installs is not None:
        more.append(
            ("most installs", np.ones(len(choices)), -np.inf, float(conditions.most_installs))
        )
    number = np.array([c.site for c in choices])
    for name, (first, *others) in round_.groups.items():
        more += [(name, (number == first) * 1.0 - (number == p), 0.0, 0.0) for p in others]
    budget = ("budget", cost, -np.inf, 1.0 if round_.budget > 0 else 0.0)
    names, shares, lows, highs = zip(budget, *more, strict=True)
    linking = csr_array(np.array(shares))
    return Rows(
        names=(*names, *["site"] * len(places)),
        shares=vstack([linking, one_a_site]).tocsr(),
        least=np.concatenate((lows, forced)),
        most=np.concatenate((highs, np.ones(len(places)))),
    )


def is_of_money(name: str) -> bool:
    """Whether a rule binds money, so that a dearer choice takes more of it."""
    return name == "budget" or name.startswith("district")
