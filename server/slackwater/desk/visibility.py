"""Who may see what? The one selector through which every response is built.

A value's visibility comes from its contract column, or for a result from `RESULTS`; a single row
may be narrower still, where its number was made from that site's private value.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Visibility

Flags = NDArray[np.bool_]


class Viewer(StrEnum):
    """Who looks, by what they are allowed."""

    PUBLIC = "public"
    AGENCY = "agency"
    LEAD = "lead"


_SEES: dict[Viewer, frozenset[Visibility]] = {
    Viewer.PUBLIC: frozenset({Visibility.PUBLIC}),
    Viewer.AGENCY: frozenset({Visibility.PUBLIC, Visibility.AGENCY}),
    Viewer.LEAD: frozenset(Visibility),
}

RESULTS: dict[str, Visibility] = {
    "rank": Visibility.PUBLIC,
    "tie_order": Visibility.PUBLIC,
    "score": Visibility.PUBLIC,
    "risk": Visibility.PUBLIC,
    "overlap": Visibility.PUBLIC,
    "loss_share": Visibility.PUBLIC,
    "gain_share": Visibility.PUBLIC,
    "best_option": Visibility.PUBLIC,
    "capital_band": Visibility.PUBLIC,
    "cost": Visibility.AGENCY,  # the criterion: capital can be worked out from it
    "capital": Visibility.AGENCY,
    "life_cycle_cost": Visibility.AGENCY,
    "gain_per_1000": Visibility.AGENCY,  # with the gain it gives the cost away
    "gain_adults": Visibility.AGENCY,
    "volume_ml": Visibility.AGENCY,
}
"""Visibility of what is worked out; a result that is not listed is private."""


def sees(viewer: Viewer, visibility: Visibility) -> bool:
    """Whether a viewer may see values of a visibility."""
    return visibility in _SEES[viewer]


def of_contract(table: str, column: str) -> Visibility:
    """Give the visibility the contract states for a column; one it does not know is private."""
    field = TABLES[table].by_name.get(column)
    return field.visibility if field else Visibility.PRIVATE


def of_place(table: str) -> Visibility:
    """Give the visibility of a row's own place."""
    return TABLES[table].geometry_visibility


def of_result(name: str) -> Visibility:
    """Give the visibility of a result."""
    return RESULTS.get(name, Visibility.PRIVATE)


@dataclass(frozen=True)
class Column:
    """Values of one name, a value a row, with who may see them.

    Attributes
    ----------
    narrower : (rows,) bool, rows seen only by those who see ``narrower_visibility``.
    """

    name: str
    values: Sequence[Any]
    visibility: Visibility
    narrower: Flags | None = None
    narrower_visibility: Visibility = Visibility.PRIVATE

    def shown_to(self, viewer: Viewer) -> list[Any]:
        """Give the values, None in rows this viewer may not see."""
        if self.narrower is None or sees(viewer, self.narrower_visibility):
            return list(self.values)
        return [
            None if hidden else value
            for value, hidden in zip(self.values, self.narrower.tolist(), strict=True)
        ]


def select(columns: Iterable[Column], viewer: Viewer) -> dict[str, list[Any]]:
    """Give the columns a viewer may see; of several with one name, the first that may be seen."""
    shown: dict[str, list[Any]] = {}
    for column in columns:
        if column.name not in shown and sees(viewer, column.visibility):
            shown[column.name] = column.shown_to(viewer)
    return shown
