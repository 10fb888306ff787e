"""What may a funding set hold? Budget, committed sites, hand choices, districts, most installs.

Section 10 of the methods page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from slackwater.decisions.by_score import EQUAL, Site
from slackwater.errors import NoSetPossible, UsageError

Numbers = NDArray[np.float64]


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


def rows_of(round_: Round, choices: Sequence[Choice]) -> list[tuple[str, Numbers, float, float]]:
    """Give the rules as rows (name, coefficients a choice, least, most), money in budgets."""
    unit = max(round_.budget, 1e-9)
    cost = np.array([c.cost for c in choices]) / unit
    site = np.array([c.site for c in choices])
    district = np.array([round_.districts[c.site] for c in choices], object)
    one = np.ones(len(choices))
    rows = [("budget", cost, -np.inf, 1.0 if round_.budget > 0 else 0.0)]
    for p in np.unique(site):
        least = 1.0 if int(p) in round_.forced else 0.0
        rows.append((f"site {p}", one * (site == p), least, 1.0))
    conditions = round_.conditions
    for name, share in sorted(conditions.district_least.items()):
        rows.append((f"district {name} least", cost * (district == name), share, np.inf))
    for name, share in sorted(conditions.district_most.items()):
        rows.append((f"district {name} most", cost * (district == name), -np.inf, share))
    if conditions.most_installs is not None:
        rows.append(("most installs", one, -np.inf, float(conditions.most_installs)))
    return rows


def check_possible(round_: Round, choices: Sequence[Choice]) -> None:
    """Refuse a round in which no set can meet the rules.

    Raises
    ------
    NoSetPossible
        Naming the rules that clash and the money each is short by.
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
    clash = _elastic(round_, choices)
    if clash:
        raise NoSetPossible(clash)


def _elastic(round_: Round, choices: Sequence[Choice]) -> list[dict[str, object]]:
    """Let the conditions give way at a price; those that must, with how much they are short."""
    rows = rows_of(round_, choices)
    soft = [i for i, (name, *_) in enumerate(rows) if name.startswith(("district", "most"))]
    if not soft:
        return []
    n = len(choices)
    matrix = np.zeros((len(rows), n + len(soft)))
    least, most = np.empty(len(rows)), np.empty(len(rows))
    for i, (_, row, low, high) in enumerate(rows):
        matrix[i, :n], least[i], most[i] = row, low, high
    for j, i in enumerate(soft):
        matrix[i, n + j] = 1.0 if np.isfinite(least[i]) else -1.0
    price = np.concatenate((np.zeros(n), np.ones(len(soft))))
    found = milp(
        price,
        constraints=LinearConstraint(matrix, least, most),
        integrality=np.concatenate((np.ones(n), np.zeros(len(soft)))),
        bounds=Bounds(0, np.concatenate((np.ones(n), np.full(len(soft), np.inf)))),
    )
    if found.x is None:
        return [{"rule": "kept", "short_by": 0.0}]
    short = [(rows[i][0], float(found.x[n + j])) for j, i in enumerate(soft)]
    return [
        {"rule": name, "short_by": by if name == "most installs" else by * round_.budget}
        for name, by in short
        if by > 1e-6
    ]
