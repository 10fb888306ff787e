"""How different may areas be for flow to be had from their ratio?"""

from __future__ import annotations

import pytest

from tests.river_builder import river_of, understood_river

SOURCE = "USGS SIR 2008-5126"
WHERE = "the drainage-area ratio method is held to serve for ratios from 0.5 to 1.5"
KNOWN = "text read"

RATIOS = [(0.49, True), (0.5, False), (1.0, False), (1.5, False), (1.51, True)]


@pytest.mark.parametrize(("ratio", "flagged"), RATIOS)
def test_ratios_outside_the_band_are_flagged(ratio: float, flagged: bool, agrees) -> None:
    """A reach with an area outside 0.5-1.5 of its gauge's gives a warning, others none."""
    understood = understood_river(
        [{"reach_id": "r", "flow_scale": None, "area_km2": ratio * 800}], [{"reach_id": "r"}],
        gauges=[{"gauge_id": "G", "area_km2": 800.0}],
    )  # fmt: skip
    codes = {finding.code for finding in understood.warnings}
    agrees(f"ratio {ratio} is flagged", flagged, "area_ratio" in codes)


def test_flow_is_in_ratio_to_area(agrees) -> None:
    """A reach with 0.6 of its gauge's area has 0.6 of its flow."""
    catchment = river_of(
        [{"reach_id": "r", "flow_scale": None, "area_km2": 480.0}], [{"reach_id": "r"}],
        gauges=[{"gauge_id": "G", "area_km2": 800.0}],
    )  # fmt: skip
    agrees("flow at 0.6 of the area", 0.6, float(catchment.flow_scale[0]), within=1e-12)
