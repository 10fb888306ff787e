"""How many megalitres a day is a cubic foot a second?"""

from __future__ import annotations

from slackwater.units import flow_in

SOURCE = "Definitions of the units"
WHERE = "1 ft = 0.3048 m; 1 ML = 1000 m3; 1 day = 86,400 s"
KNOWN = "computed from the stated formula"


def test_units_of_flow(agrees) -> None:
    """1 cfs is 2.4466 ML/d and 1 ML/d is 0.011574 m3/s, to the places given."""
    cfs_m3s = 1 / flow_in(1.0, "cfs")
    agrees("1 cfs, ML/d", 2.4466, flow_in(cfs_m3s, "ML/d"), within=5e-5)
    agrees("1 ML/d, m3/s", 0.011574, 1 / flow_in(1.0, "ML/d"), within=5e-7)
    agrees("1 m3/s, L/s", 1000.0, flow_in(1.0, "L/s"), within=0.0)
