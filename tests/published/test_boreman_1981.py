"""Is the empirical transport model of power-plant studies a special case of ours?"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from slackwater.river.river import prepare
from tests.river_builder import river_of

SOURCE = "Boreman, Goodyear, Christensen 1981, Trans. Am. Fish. Soc. 110:253-260"
WHERE = "P_M = 1 - sum f_i (1 - PE_i)^d; the form is remembered, the values follow from it"
KNOWN = "from memory"

FLOW_M3S = 10.0


def conditional_mortality(f: list[float], pe: list[float], days: int) -> float:
    """P_M by the server: each cohort in a channel of its own, one intake a day of its drift.

    Nobody settles or dies but at the intakes, so what is taken of all released is P_M.
    """
    reaches: list[dict[str, Any]] = []
    offtakes: list[dict[str, Any]] = []
    for cohort, share in enumerate(pe):
        names = [f"c{cohort}d{day}" for day in range(days + 1)]
        reaches += [
            {"reach_id": name, "to_reach": below, "length_m": 86400 * 0.3}
            for name, below in pairwise([*names, ""])
        ]
        offtakes += [
            {"reach_id": name, "chainage_m": 10.0, "capacity_m3s": share * FLOW_M3S}
            for name in names[1:]
        ]
    catchment = river_of(
        reaches,
        [{"offtake_id": f"o{i}", **row} for i, row in enumerate(offtakes)],
        production=[{"reach_id": f"c{c}d0", "production": share} for c, share in enumerate(f)],
        flows={"G": FLOW_M3S},
    )
    river = prepare(catchment)
    return float(river.measure(np.zeros((1, len(offtakes)))).taken.sum())


@pytest.mark.parametrize(
    ("f", "pe", "days", "mortality"),
    [([1.0], [0.01], 30, 0.260300), ([0.2, 0.5, 0.3], [0.01, 0.02, 0.005], 10, 0.125254)],
)
def test_empirical_transport_model(
    f: list[float], pe: list[float], days: int, mortality: float, agrees
) -> None:
    """The conditional mortality P_M comes out; six places are given."""
    ours = conditional_mortality(f, pe, days)
    agrees(f"P_M, f {f}, PE {pe}, {days} days", mortality, ours, within=5e-7)
