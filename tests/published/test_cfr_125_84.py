"""When does an intake take a notable share of its river?"""

from __future__ import annotations

import pytest

from tests.river_builder import understood_river

SOURCE = "US 40 CFR 125.84(b)(3)(i)"
WHERE = "cooling-water intakes: at most 5 % of the source's mean annual flow; borrowed as a flag"
KNOWN = "text read"

MEAN_FLOW_M3S = 10.0


@pytest.mark.parametrize(("share", "flagged"), [(0.049, False), (0.05, False), (0.051, True)])
def test_an_intake_above_5_per_cent_is_flagged(share: float, flagged: bool, agrees) -> None:
    """A capacity above 5 % of the mean flow gives a warning; at or below it none."""
    understood = understood_river(
        [{"reach_id": "r"}], [{"reach_id": "r", "capacity_m3s": share * MEAN_FLOW_M3S}],
        flows={"G": MEAN_FLOW_M3S},
    )  # fmt: skip
    codes = {finding.code for finding in understood.warnings}
    agrees(f"{share:.1%} of mean flow is flagged", flagged, "capacity_above_mean_share" in codes)
