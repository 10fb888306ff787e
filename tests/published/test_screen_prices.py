"""Are small screens dearer for the water they pass?"""

from __future__ import annotations

import numpy as np

from slackwater.screens.cost import price_screens
from slackwater.screens.sizing import size_screens
from slackwater.units import flow_in
from tests.river_builder import river_of

SOURCE = "US Bureau of Reclamation memorandum; slides of an Oregon screen programme (old dollars)"
WHERE = "US$ 2,500-21,400 per cfs, dearer per unit of flow when small"
KNOWN = "text read"


def test_small_screens_are_dearer_per_flow(agrees) -> None:
    """With whole units and a mount of fixed price, cost per cfs falls from 0.5 to 50 cfs.

    Only the direction is held: the amounts are old and the price list is the user's own.
    """
    cfs = np.array([0.5, 1, 2, 5, 10, 20, 50])
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": float(each / flow_in(1.0, "cfs"))} for each in cfs],
        options=[{"unit_area_m2": 0.5, "unit_price": 1500.0}],
        prices=[{"item": "mount", "kind": "fixed_suction", "amount": 6000.0}],
    )
    per_cfs = price_screens(catchment, size_screens(catchment)).capital[:, 0] / cfs
    agrees("cost per cfs is highest for the smallest", 0, int(per_cfs.argmax()))
    agrees("and lowest for the largest", len(cfs) - 1, int(per_cfs.argmin()))
