"""Which rules of a round clash, so that no set can keep them, and by how much?

Section 10 of the methods page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from scipy.sparse import csr_array, hstack

from slackwater.decisions.by_score import fits
from slackwater.decisions.rules import Choice, Round, rows_of
from slackwater.decisions.solver import Problem, never, solve
from slackwater.errors import NoSetPossible


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
    check_affordable(round_, choices, round_.budget)
    clash = _elastic(round_, choices, stop)
    if clash:
        raise NoSetPossible(clash)


def check_affordable(
    round_: Round, choices: Sequence[Choice], budget: float, *, by_hand: bool = True
) -> None:
    """Refuse a budget that cannot pay for what must be in, each at its cheapest.

    Parameters
    ----------
    by_hand : whether what is kept in by hand counts, beside what is committed.

    Raises
    ------
    NoSetPossible
        Naming what is committed, what is kept in, or the groups that these bring in.
    """
    cheapest: dict[int, float] = {}
    for c in choices:
        cheapest[c.site] = min(c.cost, cheapest.get(c.site, np.inf))
    committed = {p for p in cheapest if round_.sites[p].committed}
    kept = {p for p in cheapest if round_.sites[p].offtake_id in round_.conditions.kept_in}
    own = committed | kept if by_hand else committed
    bring_in = [
        name
        for name, group in round_.groups.items()
        if own.intersection(group) and not own.issuperset(group)
    ]
    for rules, must in (
        (["committed"], committed), (["kept"], own), (bring_in, round_.with_groups(own))
    ):  # fmt: skip
        cost = sum(cheapest[p] for p in sorted(must))
        if not fits(cost, budget):
            raise NoSetPossible([{"rule": rule, "short_by": cost - budget} for rule in rules])


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
