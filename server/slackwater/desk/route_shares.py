"""Where do an offtake's drifters come from and where would they have settled, as shares?"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.score import MILLION
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.losses import millionths_of
from slackwater.desk.visibility import Viewer, fields_shown
from slackwater.river.adults import year_weights
from slackwater.river.routes import routes_of

Numbers = NDArray[np.float64]


def route_shares(evaluation: Evaluation, offtake: int, viewer: Viewer) -> dict[str, Any]:
    """Give the routes of one offtake in millionths, reaches as in their table.

    Guilds are weighted by what a settler of each counts in adults; years by their weights.

    Parameters
    ----------
    offtake : row of the offtakes table.
    """
    efficacy = evaluation.efficacy
    routes = routes_of(evaluation.river, offtake, efficacy.of_drifters(efficacy.fitted))
    weights = evaluation.worth.adults_per_settler, year_weights(evaluation.catchment)
    from_reach = _weighted(routes.from_reach, *weights)
    to_reach = _weighted(routes.to_reach, *weights)
    to_outlet = float(np.einsum("g,y,gy->", *weights, routes.to_outlet))
    settled = float(to_reach.sum()) + to_outlet
    shares = {
        "from_reach": millionths_of(from_reach, float(from_reach.sum())),
        "to_reach": millionths_of(to_reach, settled),
        "to_outlet": round(to_outlet / settled * MILLION) if settled > 0 else 0,
    }
    return fields_shown("route", shares, viewer)


def _weighted(by_guild: Numbers, adults: Numbers, years: Numbers) -> Numbers:
    """(reaches,) from (guilds, years, reaches)."""
    weighted: Numbers = np.einsum("g,y,gyr->r", adults, years, by_guild)
    return weighted
