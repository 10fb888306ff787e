"""Can a 2 mm slot hold the larvae of a small gudgeon?"""

from __future__ import annotations

import pytest

from tests.river_builder import understood_river

SOURCE = "Lake 1967 (quoted by others)"
WHERE = "small gudgeon larvae 1.8-2.1 mm at hatch: a 2 mm slot is unlikely to hold them"
KNOWN = "text read"


@pytest.mark.parametrize(
    ("larva_mm", "source", "doubted"),
    [(1.8, "", True), (1.8, "a trial", False), (9.5, "", False)],
)
def test_an_efficacy_for_larvae_that_fit_the_slot_is_doubted(
    larva_mm: float, source: str, doubted: bool, agrees
) -> None:
    """A high efficacy of a 2 mm slot for larvae of 1.8 mm is a warning unless it has a source."""
    understood = understood_river(
        [{"reach_id": "r"}], [{"reach_id": "r"}],
        guilds=[{"larva_mm": larva_mm}],
        options=[{"opening_mm": 2.0}],
        efficacy=[{"option_id": "s0", "guild_id": "g0", "drifter": 0.8, "source": source}],
    )  # fmt: skip
    ours = "unsourced_efficacy" in {finding.code for finding in understood.warnings}
    agrees(f"0.8 kept of {larva_mm} mm larvae, source {source or 'none'}: doubted", doubted, ours)
