"""A hall's catchment of twelve offtakes, and what phones fund by score, found by a plain loop.

The loop reads what the lead is told: public columns, and costs with the quotes among them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from starlette.testclient import TestClient

from tests.catchment.small import Small, small

BUDGET = 160_000.0
ELIGIBLE = 1


def twelve() -> Small:
    """Give the small catchment with nine further pumps, some of them quoted."""
    of = small()
    for number in range(9):
        like, quoted = number % 2, not number % 3
        of.append(
            "offtakes", like, offtake_id=f"D{number}", label=f"Pump D{number}",
            landholder=f"Holder {number + 4}", licence=f"{number + 4:03}",
            capacity_m3s=f"{0.06 + 0.05 * ((number * 5) % 9):.2f}",
            chainage_m=str(400 + 300 * number) if not like else "",
            status="candidate", willing="yes", observed_on="2020-05-01",
            quote=str(30_000 + 7_000 * number) if quoted else "",
            quote_option="cone" if quoted else "",
            **{f"use_{month:02d}": f"{0.1 * (month * (number + 2) % 10):.1f}"
               for month in range(1, 13)},
        )  # fmt: skip
    return of


def told_to_the_lead(client: TestClient) -> dict[str, Any]:
    """Give the columns of all offtakes."""
    told: dict[str, Any] = client.get("/api/offtakes").json()
    return told


def thousandths(levels: Mapping[str, int]) -> dict[str, int]:
    """Share 1000 out in proportion, by largest remainder, equal ones in their order."""
    whole = sum(levels.values())
    shares = {name: divmod(1000 * level, whole) for name, level in levels.items()}
    short = 1000 - sum(share for share, _ in shares.values())
    up = sorted(shares, key=lambda name: -shares[name][1])[:short]
    return {name: share + (name in up) for name, (share, _) in shares.items()}


def funded(columns: Mapping[str, Any], levels: Mapping[str, int], budget: float) -> set[str]:
    """Rank by score, larger loss first where equal, and take what still fits."""
    weights = thousandths(levels)
    count = len(columns["offtake_id"])
    score = [sum(weights[name] * columns[name][row] for name in weights) for row in range(count)]
    inside, spent = set(), 0.0
    for row in sorted(range(count), key=lambda row: (-score[row], columns["tie_order"][row])):
        if columns["fund_state"][row] != ELIGIBLE:
            continue
        cost = columns["fund_cost"][row]
        if spent + cost <= budget * (1 + 1e-9):
            inside.add(columns["offtake_id"][row])
            spent += cost
    return inside


def in_common(sets: Sequence[set[str]]) -> tuple[set[str], dict[str, int]]:
    """Give who is in all sets, and of those in some only, in how many."""
    counts = {code: sum(code in each for each in sets) for code in set().union(*sets)}
    stays = {code for code, count in counts.items() if count == len(sets)}
    return stays, {code: count for code, count in counts.items() if code not in stays}
