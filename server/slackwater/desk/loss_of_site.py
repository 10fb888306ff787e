"""What does one offtake cost the river: by guild, in dry and wet years, and within which range?"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log
from typing import Any

import numpy as np

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.losses import six_digits
from slackwater.desk.visibility import Viewer, fields_shown, results_of, rows_shown
from slackwater.desk.year_views import loss_adults_of
from slackwater.river.adults import year_weights

RANGED = ("encounter", "production", "adult_per_settler")
ASSUMED_RANGE = 0.5, 2.0
"""Where none of the three has a range (planning assumption, as in section 11)."""


def taken_of_passing(evaluation: Evaluation, offtake: int) -> float:
    """Share of the drifters passing in season that it takes, by worth; 0 where none pass.

    Guilds are weighted by adults, years by their weights.
    """
    measured, efficacy = evaluation.measured, evaluation.efficacy
    through = 1 - efficacy.of_drifters(efficacy.fitted)[:, offtake]
    adults, years = evaluation.worth.adults_per_settler, year_weights(evaluation.catchment)
    taken = np.einsum("g,g,y,gy->", adults, through, years, measured.exposed[:, :, offtake])
    passing = np.einsum("g,y,gy->", adults, years, measured.meeting[:, :, offtake])
    return float(taken / passing) if passing > 0 else 0.0


def loss_of_site(evaluation: Evaluation, offtake: int, viewer: Viewer) -> dict[str, Any]:
    """Give the loss of one offtake as far as the viewer may see it; adults to six digits."""
    drifters, residents = (
        np.einsum("y,gyo->go", year_weights(evaluation.catchment), adults)
        for adults in loss_adults_of(evaluation)
    )
    adults = float(evaluation.loss_adults[offtake])
    low, high = range_shares(evaluation.catchment.settings.ranges)
    by_view = {
        f"adults_{name}": six_digits(float(values[offtake]))
        for name, values in evaluation.loss_adults_in.items()
    }
    values = {
        "by_guild": _by_guild(evaluation, offtake, drifters + residents, viewer),
        "adults": six_digits(adults),
        **by_view,
        "low": six_digits(adults * low),
        "high": six_digits(adults * high),
        "assumed_range": not _given(evaluation.catchment.settings.ranges),
        "residents_share": six_digits(float(residents[:, offtake].sum()) / adults)
        if adults > 0
        else 0.0,
    }
    return fields_shown("loss", values, viewer)


def range_shares(ranges: Mapping[str, tuple[float, float]]) -> tuple[float, float]:
    """Give the ends of a loss's range as multiples of it.

    The given ranges act as factors that know nothing of each other: their logarithms are added as
    squares, so that the ends are not as far apart as if all went wrong together.
    """
    given = [ranges[name] for name in RANGED if name in ranges]
    if not given:
        return ASSUMED_RANGE
    down = sum(log(min(low, 1.0)) ** 2 for low, _ in given if low > 0) ** 0.5
    up = sum(log(max(high, 1.0)) ** 2 for _, high in given) ** 0.5
    return (0.0 if any(low <= 0 for low, _ in given) else exp(-down)), exp(up)


def _given(ranges: Mapping[str, tuple[float, float]]) -> bool:
    return any(name in ranges for name in RANGED)


def _by_guild(
    evaluation: Evaluation, offtake: int, adults: Any, viewer: Viewer
) -> list[dict[str, Any]]:
    """Give a row a guild; ``adults`` is (guilds, offtakes), a year's mean."""
    guilds = evaluation.catchment.table("guilds")
    total = adults.sum(axis=1)
    shares = np.divide(adults[:, offtake], total, out=np.zeros(len(total)), where=total > 0)
    columns: dict[str, list[Any]] = {
        "guild_id": list(guilds.keys),
        "name": guilds.text("name").tolist(),
        "loss_share": [six_digits(value) for value in shares],
        "loss_adults": [six_digits(value) for value in adults[:, offtake]],
    }
    if evaluation.catchment.settings.production_basis == "counted":
        columns["taken_heads"] = [six_digits(value) for value in evaluation.taken[:, offtake]]
    return rows_shown(results_of("guild", columns), viewer)
