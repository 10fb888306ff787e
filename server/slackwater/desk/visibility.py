"""Who may see what? The one selector through which every response is built.

A value's visibility comes from its contract column, or for a result from `RESULTS`; a single row
may be narrower still, where its number was made from that site's private value.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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


def lower(one: Viewer, other: Viewer) -> Viewer:
    """Give the one of two viewers who sees less."""
    return one if _SEES[one] <= _SEES[other] else other


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

_BLOCKS: dict[Visibility, dict[str, str]] = {
    Visibility.PUBLIC: {
        "losses": "loss_share risk gain_share adults total",
        "sentence": "taken_of_passing loss_share overlap",
        "guild": "guild_id name taken_heads loss_share loss_adults",
        "loss": "by_guild adults adults_dry adults_median adults_wet low high assumed_range "
        "residents_share",
        "month": "month passing_share",
        "screen": "option_id name feasible approach_ms slot_ms capital_band gain_share is_best "
        "depth_unknown",
        "route": "from_reach to_reach to_outlet",
    },
    Visibility.AGENCY: {
        "fund": "fund_state fund_cost fund_cost_least not_funded_because upkeep_per_year "
        "budget_hint",
        "month": "draw_share overlap",  # the months of use can be read off both
        "screen": "obstacles area_m2 units capital capital_low capital_high upkeep_per_year "
        "life_cycle life_cycle_at gain_adults gain_per_1000 quoted landholder",
        "warning": "code count remedy_of_first",
    },
}
RESULTS.update(
    (f"{block}.{name}", visibility)
    for visibility, blocks in _BLOCKS.items()
    for block, names in blocks.items()
    for name in names.split()
)


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
        hidden_rows = self.hidden_from(viewer)
        return [
            None if hidden else value
            for value, hidden in zip(self.values, hidden_rows, strict=True)
        ]

    def hidden_from(self, viewer: Viewer) -> list[bool]:
        """Say of each row whether this viewer may not see it, the column being one he may."""
        if self.narrower is None or sees(viewer, self.narrower_visibility):
            return [False] * len(self.values)
        hidden: list[bool] = self.narrower.tolist()
        return hidden


def select(columns: Iterable[Column], viewer: Viewer) -> dict[str, list[Any]]:
    """Give the columns a viewer may see; of several with one name, the first that may be seen."""
    shown: dict[str, list[Any]] = {}
    for column in columns:
        if column.name not in shown and sees(viewer, column.visibility):
            shown[column.name] = column.shown_to(viewer)
    return shown


def rows_shown(columns: Iterable[Column], viewer: Viewer) -> list[dict[str, Any]]:
    """Give rows one by one; what a viewer may not see of a row is absent from it."""
    rows: list[dict[str, Any]] = []
    for column in columns:
        rows = rows or [{} for _ in column.values]
        if not sees(viewer, column.visibility):
            continue
        for row, value, hidden in zip(rows, column.values, column.hidden_from(viewer), strict=True):
            if not hidden:
                row[column.name] = value
    return rows


def results_of(
    block: str,
    values: Mapping[str, Sequence[Any]],
    narrower: Mapping[str, Flags] | None = None,
) -> list[Column]:
    """Give results of one part of an answer as columns, each with the visibility it has there.

    Parameters
    ----------
    narrower : name -> (rows,) bool, rows made from one site's private value.
    """
    private = narrower or {}
    return [
        Column(name, column, of_result(f"{block}.{name}"), private.get(name))
        for name, column in values.items()
    ]


def fields_shown(block: str, values: Mapping[str, Any], viewer: Viewer) -> dict[str, Any]:
    """Give the single values of one part of an answer that a viewer may see."""
    shown = rows_shown(results_of(block, {name: [value] for name, value in values.items()}), viewer)
    return shown[0] if shown else {}
