"""Which warnings about the data may a viewer read, and how many of each kind are there?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Visibility
from slackwater.desk.visibility import Viewer, of_contract, of_place, results_of, rows_shown, sees
from slackwater.errors import Finding

AT_LEAST = Visibility.AGENCY
"""Warnings name rows and cells of the agency's data, so none of them is for the public."""

TELLS_PRIVATE = ("id_is_licence",)
"""Kinds that tell a private value though the column they name is not private."""


def may_read_warnings(viewer: Viewer) -> bool:
    """Whether a viewer may read warnings at all."""
    return sees(viewer, AT_LEAST)


def warnings_for(warnings: Sequence[Finding], viewer: Viewer) -> list[Finding]:
    """Give the warnings a viewer may read, in their order."""
    if not may_read_warnings(viewer):
        return []
    return [warning for warning in warnings if sees(viewer, visibility_of(warning))]


def visibility_of(warning: Finding) -> Visibility:
    """Give who may read a warning: as its column, and never the public."""
    if warning.code in TELLS_PRIVATE:
        return Visibility.PRIVATE
    if warning.table not in TABLES or not warning.column:
        return AT_LEAST
    own = (
        of_place(warning.table)
        if warning.column == "geometry"
        else of_contract(warning.table, warning.column)
    )
    return own if own is Visibility.PRIVATE else AT_LEAST


def warning_kinds(warnings: Sequence[Finding], viewer: Viewer) -> list[dict[str, Any]]:
    """Give each kind of warning with its count and the first one's remedy."""
    kinds: dict[str, list[Finding]] = {}
    for warning in warnings_for(warnings, viewer):
        kinds.setdefault(warning.code, []).append(warning)
    columns: dict[str, list[Any]] = {
        "code": list(kinds),
        "count": [len(alike) for alike in kinds.values()],
        "remedy_of_first": [alike[0].remedy for alike in kinds.values()],
    }
    return rows_shown(results_of("warning", columns), viewer)
