"""What are settlers, residents and years worth? Adult equivalents and means over years.

Section 6 of the methods page. Adult equivalents compare sites; they forecast no catch.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.river.river import River

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Worth:
    """How heads and water turn into adult equivalents.

    Attributes
    ----------
    adults_per_settler : (guilds,) guild weight included.
    residents_adults : (guilds, years, offtakes) adults of the residents in the water drawn, guild
        weight included, without any screen.
    """

    adults_per_settler: Numbers
    residents_adults: Numbers


def worth_of(river: River) -> Worth:
    """Gather what a settler and the residents in the draw of each year count."""
    guilds = river.catchment.table("guilds")
    volume_ml = np.array([draw.volume_ml for draw in river.draws])
    per_ml = (
        guilds.number("weight")
        * guilds.number("adult_per_resident")
        * guilds.number("resident_per_ml")
    )
    position = river.catchment.table("offtakes").number("position")
    return Worth(
        adults_per_settler=guilds.number("weight") * guilds.number("adult_per_settler"),
        residents_adults=per_ml[:, None, None] * position * volume_ml,
    )


def year_weights(catchment: Catchment) -> Numbers:
    """(years,) weights of the used season-years, summing to 1; a year without one counts 1."""
    given = catchment.settings.year_weights
    weights = np.array([given.get(int(year), 1.0) for year in catchment.records.years])
    return weights / weights.sum()


def thirds(river: River) -> dict[str, NDArray[np.int64]]:
    """Give the positions of the dry, median and wet years.

    Years are sorted by volume at the outlet with the largest total, ties the earlier first; dry
    is the first third (at least one), wet as many at the end, median those between (all if none).
    """
    catchment = river.catchment
    records = catchment.records
    outlets = np.flatnonzero(catchment.network.is_outlet)
    volumes = (
        np.array(
            [
                records.flow_m3s[river.pace.gauge[outlets], first : first + days].sum(axis=1)
                for first, days in zip(records.year_first, records.year_days, strict=True)
            ]
        )
        * catchment.flow_scale[outlets]
    )
    ids = catchment.table("reaches").keys
    totals = volumes.sum(axis=0)
    largest = min(range(len(outlets)), key=lambda o: (-totals[o], ids[outlets[o]]))
    order = np.argsort(volumes[:, largest], kind="stable")
    n = max(1, len(order) // 3)
    between = order[n : len(order) - n]
    return {"dry": order[:n], "median": between if len(between) else order, "wet": order[-n:]}
