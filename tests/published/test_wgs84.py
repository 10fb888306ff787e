"""How long is a degree?"""

from __future__ import annotations

import pytest
import shapely

from slackwater.catchment.placing import geodesic_length_m

SOURCE = "WGS84 (NIMA TR8350.2), lengths of a degree"
WHERE = "equator 6,378,137 m x pi / 180 = 111,319.49 m; meridian 0-1 degree 110,574.39 m"
KNOWN = "from memory"

DEGREES = {
    "longitude at the equator": ([(10, 0), (11, 0)], 111_319.49, 5e-3),
    "latitude from the equator": ([(10, 0), (10, 1)], 110_574.39, 5e-2),
}


@pytest.mark.parametrize("which", DEGREES)
def test_a_degree(which: str, agrees) -> None:
    """A line of one degree has the length of the ellipsoid's degree, to the places given."""
    coordinates, length_m, within = DEGREES[which]
    agrees(f"degree of {which}, m", length_m, geodesic_length_m(shapely.LineString(coordinates)),
           within=within)  # fmt: skip
