"""Which openings do the older US criteria allow, and how fast is the water in them?"""

from __future__ import annotations

from slackwater.screens.sizing import size_screens
from tests.river_builder import river_of

SOURCE = "US NMFS, fish screening criteria for anadromous salmonids, 1997 and 2011"
WHERE = "round or square holes at most 3/32 in (2.38 mm); slots at most 1.75 mm; open area >= 27 %"
KNOWN = "from memory"

INCH_MM = 25.4


def test_openings_are_held_to_the_largest(agrees) -> None:
    """With a largest opening of 3/32 in, 1.75 and 2.38 mm pass and 2.4 and 3 mm do not."""
    openings = {1.75: True, 2.38: True, 2.4: False, 3.0: False}
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r"}],
        options=[{"opening_mm": opening} for opening in openings],
        settings={"screen_criteria": {"max_opening_mm": 3 / 32 * INCH_MM}},
    )
    feasible = size_screens(catchment).feasible[0]
    for (opening, passes), ours in zip(openings.items(), feasible, strict=True):
        agrees(f"{opening} mm is allowed", passes, bool(ours))
