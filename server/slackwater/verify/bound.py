"""What is the most that any set under the rules can gain?

Section 10 of the methods page. The credits of each order bound what any set gains, so the set of
the largest bound bounds them all. It is found anew, from credits and costs recomputed and the
rules; nothing of the certificate's own proof is taken over.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from slackwater.verify.claim import ByChoice, Claim
from slackwater.verify.orders import Credits
from slackwater.verify.rules import Field, rows

Numbers = NDArray[np.float64]
UNITS = 1e4
"""Money and adults are given to the solver in this many parts of the whole: its tolerances are
absolute, and shall be nothing beside the numbers."""


def most_any_set_gains(
    claim: Claim, field: Field, cuts: Sequence[Credits], *, gap: float, seconds: float
) -> tuple[float, float] | None:
    """Solve for the set of the largest bound.

    Returns
    -------
    reached, certain : the largest bound of a set that was found, and what none can pass; equal
        but for ``gap`` unless the time ran out. None where no set keeps the rules.
    """
    names = list(field.choices)
    n = len(names)
    position = {name: at for at, name in enumerate(names)}
    weights = np.array([[cut.weights[name] for name in names] for cut in cuts])
    unit = float(np.abs(weights[0]).sum()) / UNITS or 1.0
    constraints = [
        LinearConstraint(
            np.column_stack((weights / unit, -np.ones(len(cuts)))),
            np.array([-cut.constant for cut in cuts]) / unit,
            np.inf,
        )
    ]
    for name, numbers, least, most in [*rows(claim, field), *_one_each(field)]:
        row = np.zeros(n + 1)
        row[[position[choice] for choice in numbers]] = list(numbers.values())
        of_money = name == "budget" or name.startswith("district")
        part = max(claim.budget, 1e-9) / UNITS if of_money else 1.0
        constraints.append(LinearConstraint(row / part, least / part, most / part))
    affordable = np.array([field.choices[c] <= claim.budget * (1 + 1e-9) for c in names])
    found = milp(
        np.append(np.zeros(n), -1.0),
        constraints=constraints,
        integrality=np.append(np.ones(n), 0),
        bounds=Bounds(np.append(np.zeros(n), -np.inf), np.append(affordable * 1.0, np.inf)),
        options={"mip_rel_gap": gap, "time_limit": seconds},
    )
    if found.status == 2:
        return None
    reached = -np.inf if found.x is None else -float(found.fun) * unit
    certain = np.inf if found.mip_dual_bound is None else -float(found.mip_dual_bound) * unit
    return reached, certain


def _one_each(field: Field) -> list[tuple[str, ByChoice, float, float]]:
    """At most one option a site, just one where it must be in."""
    found = []
    for i in sorted({i for i, _ in field.choices}):
        own = {choice: 1.0 for choice in field.choices if choice[0] == i}
        found.append(("site", own, 1.0 if i in field.forced else 0.0, 1.0))
    return found
