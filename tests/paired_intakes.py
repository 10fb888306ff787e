"""A screened intake beside an unscreened one, by the server, as field trials pair them."""

from __future__ import annotations

from slackwater.desk.evaluation import Evaluation, evaluate
from tests.river_builder import river_of


def paired(kept_alive: float) -> tuple[Evaluation, Evaluation]:
    """Evaluate one river twice: its pump unscreened, and with a screen of this efficacy."""
    unscreened, screened = (
        evaluate(
            river_of(
                [{"reach_id": "r"}],
                [{"reach_id": "r", "capacity_m3s": 0.4, "chainage_m": 15000.0, "fitted": fitted}],
                production=[{"reach_id": "r", "production": 1e5}],
                guilds=[{"resident_per_ml": 5.0, "adult_per_resident": 1.0,
                         "adult_per_settler": 0.0}],
                efficacy=[{"option_id": "s0", "guild_id": "g0", "drifter": kept_alive,
                           "source": "as the test says"}],
            )
        )
        for fitted in ("none", "s0")
    )  # fmt: skip
    return unscreened, screened


def fewer_drifters(kept_alive: float) -> float:
    """Share by which the screened intake takes fewer drifters."""
    unscreened, screened = paired(kept_alive)
    return 1 - float(screened.taken[0, 0] / unscreened.taken[0, 0])


def fewer_residents(kept_alive: float) -> float:
    """Share by which the screened intake loses fewer residents."""
    unscreened, screened = paired(kept_alive)
    return 1 - float(screened.loss_adults[0] / unscreened.loss_adults[0])
