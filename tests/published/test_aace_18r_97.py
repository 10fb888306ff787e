"""How far off may an early estimate be?"""

from __future__ import annotations

from slackwater.screens.cost import price_screens
from slackwater.screens.sizing import size_screens
from tests.river_builder import river_of

SOURCE = "AACE 18R-97 (glossary page)"
WHERE = "estimate class 5: -50 to +100 %"
KNOWN = "text read"


def test_class_5(agrees) -> None:
    """A capital cost without ranges of its own runs from half to double; shares stay."""
    catchment = river_of(
        [{"reach_id": "r"}], [{"reach_id": "r", "capacity_m3s": 0.2}],
        options=[{"unit_price": 9000.0}],
        prices=[{"item": "mobilisation", "amount": 4000.0}, {"item": "design", "amount": 0.12},
                {"item": "contingency", "amount": 0.2}],
    )  # fmt: skip
    costs = price_screens(catchment, size_screens(catchment))
    low, middle, high = (
        float(each[0, 0]) for each in (costs.capital_low, costs.capital, costs.capital_high)
    )
    agrees("low over the estimate", 0.5, low / middle, within=1e-12)
    agrees("high over the estimate", 2.0, high / middle, within=1e-12)
