"""What may a funding set hold? Budget, committed sites, hand choices, districts, most installs.

Section 10 of the methods page.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array, hstack, vstack

from slackwater.decisions.by_score import EQUAL, Site
from slackwater.decisions.solver import Problem, never, solve
from slackwater.errors import NoSetPossible, UsageError

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
    """

    kept_in: Mapping[str, str] = field(default_factory=dict)
    left_out: Mapping[str, str] = field(default_factory=dict)
    district_least: Mapping[str, float] = field(default_factory=dict)
    district_most: Mapping[str, float] = field(default_factory=dict)
    most_installs: int | None = None


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
    districts : district of each site; an empty one is a district of its own.
    """

    sites: Sequence[Site]
    districts: Sequence[str]
    option_ids: Sequence[str]
    budget: float
    conditions: Conditions = field(default_factory=Conditions)

    @property
    def forced(self) -> frozenset[int]:
        """Positions of committed sites and of those kept in by hand."""
        kept = self.conditions.kept_in
        return frozenset(p for p, s in enumerate(self.sites) if s.committed or s.offtake_id in kept)

    def choices(self) -> list[Choice]:
        """List every option at every site that may be chosen, committed ones as they are bound.

        Raises
        ------
        UsageError
            Where a hand choice names no site or cannot be made, with the reason.
        """
        self._check_hand_choices()
        listed = []
        for p, site in enumerate(self.sites):
            if not site.committed and (
                not site.eligible or site.offtake_id in self.conditions.left_out
            ):
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
    budget = ("budget", cost, -np.inf, 1.0 if round_.budget > 0 else 0.0)
    names, shares, lows, highs = zip(budget, *more, strict=True)
    linking = csr_array(np.array(shares))
    return Rows(
        names=(*names, *["site"] * len(places)),
        shares=vstack([linking, one_a_site]).tocsr(),
        least=np.concatenate((lows, forced)),
        most=np.concatenate((highs, np.ones(len(places)))),
    )


def check_possible(
    round_: Round, choices: Sequence[Choice], stop: Callable[[], bool] = never
) -> None:
    """Refuse a round in which no set can meet the rules.

    Raises
    ------
    NoSetPossible
        Naming the rules that clash and the money each is short by.
    Cancelled
        Where ``stop`` said so.
    """
    cheapest: dict[int, float] = {}
    for c in choices:
        cheapest[c.site] = min(c.cost, cheapest.get(c.site, np.inf))
    committed = sum(cheapest[p] for p in cheapest if round_.sites[p].committed)
    if committed > round_.budget * (1 + EQUAL):
        raise NoSetPossible([{"rule": "committed", "short_by": committed - round_.budget}])
    forced = sum(cheapest[p] for p in round_.forced)
    if forced > round_.budget * (1 + EQUAL):
        raise NoSetPossible([{"rule": "kept", "short_by": forced - round_.budget}])
    clash = _elastic(round_, choices, stop)
    if clash:
        raise NoSetPossible(clash)


def _elastic(
    round_: Round, choices: Sequence[Choice], stop: Callable[[], bool]
) -> list[dict[str, object]]:
    """Let the conditions give way at a price; those that must, with how much they are short."""
    rows = rows_of(round_, choices)
    soft = [i for i, name in enumerate(rows.names) if name.startswith(("district", "most"))]
    if not soft:
        return []
    n, short = len(choices), len(soft)
    give_way = np.where(np.isfinite(rows.least[soft]), 1.0, -1.0)
    gives = csr_array((give_way, (soft, np.arange(short))), (len(rows.names), short))
    found = solve(
        Problem(
            objective=np.concatenate((np.zeros(n), -np.ones(short))),
            rows=hstack([rows.shares, gives]).tocsr(),
            least=rows.least,
            most=rows.most,
            lower=np.zeros(n + short),
            upper=np.concatenate((np.ones(n), np.full(short, np.inf))),
            whole=np.arange(n + short) < n,
        ),
        stop=stop,
    )
    if found.values is None:
        return [{"rule": "kept", "short_by": 0.0}]
    units = [1.0 if rows.names[i] == "most installs" else round_.budget for i in soft]
    return [
        {"rule": rows.names[i], "short_by": float(by) * unit}
        for i, by, unit in zip(soft, found.values[n:], units, strict=True)
        if by > 1e-6
    ]
