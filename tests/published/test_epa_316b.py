"""Do losses of several life stages add up to age-1 equivalents as the US agency counts them?"""

from __future__ import annotations

from slackwater.desk.evaluation import evaluate
from tests.river_builder import river_of

SOURCE = "US EPA, Clean Water Act section 316(b) case studies"
WHERE = "S* = 2S / (1 + S) for the stage in which a fish is lost, S for those after it"
KNOWN = "from memory"

EGG, LARVA, JUVENILE = 0.10, 0.02, 0.05


def from_the_middle(survival: float) -> float:
    """Survival of a stage for one lost at a random time in it."""
    return 2 * survival / (1 + survival)


def test_eggs_and_larvae(agrees) -> None:
    """1,000,000 eggs and 200,000 larvae are 573.98 fish of age 1; two places follow the formula."""
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": 10.0, "chainage_m": 15000.0}],
        production=[{"reach_id": "r", "guild_id": "g0", "production": 1e6},
                    {"reach_id": "r", "guild_id": "g1", "production": 2e5}],
        guilds=[{"adult_per_settler": from_the_middle(EGG) * LARVA * JUVENILE},
                {"adult_per_settler": from_the_middle(LARVA) * JUVENILE}],
        flows={"G": 10.0},
    )  # fmt: skip
    agrees("age-1 equivalents", 573.98, float(evaluate(catchment).loss_adults[0]), within=5e-3)
