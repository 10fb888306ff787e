"""How many adults are eggs lost to a pump worth?"""

from __future__ import annotations

from slackwater.desk.evaluation import evaluate
from tests.river_builder import river_of

SOURCE = "Equivalent adults after Horst 1975"
WHERE = "at replacement survival to adult = 2 / lifetime fecundity; 1,000,000 eggs at 100,000 = 20"
KNOWN = "from memory"


def test_a_million_eggs_are_twenty_adults(agrees) -> None:
    """A pump that takes the whole flow and with it 1,000,000 eggs of fish with 100,000 loses 20."""
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": 10.0, "chainage_m": 15000.0}],
        production=[{"reach_id": "r", "production": 1e6}],
        guilds=[{"adult_per_settler": 2 / 100_000}],
        flows={"G": 10.0},
    )
    agrees("adults lost with 1,000,000 eggs", 20.0, float(evaluate(catchment).loss_adults[0]),
           within=1e-9)  # fmt: skip
