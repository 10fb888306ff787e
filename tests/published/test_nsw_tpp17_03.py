"""Which discount rates does an Australian treasury ask for?"""

from __future__ import annotations

from slackwater.screens.cost import OTHER_RATES
from tests.river_builder import river_of

SOURCE = "NSW Treasury, TPP17-03 Guide to Cost-Benefit Analysis"
WHERE = "7 %, with 3 % and 10 % beside it"
KNOWN = "from memory"


def test_rates(agrees) -> None:
    """The rate where none is given is 7 %, and 3 and 10 % are shown beside it."""
    catchment = river_of([{"reach_id": "r"}], [{"reach_id": "r"}])
    agrees("rate by default", 0.07, catchment.settings.discount_rate, within=0.0)
    agrees("rates beside it", (0.03, 0.10), OTHER_RATES)
