"""From which inputs was one offtake's answer made, and where does each come from?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.catchment.fields import Field, Kind, Visibility
from slackwater.desk.cell_grounds import Grounds
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.status_shown import status_column
from slackwater.desk.visibility import Column, Viewer, of_contract, rows_shown, sees

ASSUMED = "assumed"
LEFT_OUT = ("basis", "observed_on", "source")
"""Columns that tell of the others; they stand beside each."""


def inputs_of_site(
    evaluation: Evaluation, offtake: int, viewer: Viewer, grounds: Mapping[str, Grounds]
) -> list[dict[str, Any]]:
    """Give every column of an offtake that the viewer may see, in the order of the contract.

    ``default_used`` is true where the cell was empty and the value is what an empty cell means.

    Parameters
    ----------
    grounds : column -> how its cell came about, where an edit says so; else as the row says.
    """
    catchment = evaluation.catchment
    fields = [
        field
        for field in catchment.table("offtakes").spec.fields
        if field.name not in LEFT_OUT and sees(viewer, of_contract("offtakes", field.name))
    ]
    status = status_column(catchment).shown_to(viewer)[offtake]
    rows = [
        _input(catchment, offtake, field, status) if field.name == "status"
        else _input(catchment, offtake, field, _cell(catchment, offtake, field.name))
        for field in fields
    ]  # fmt: skip
    for criterion in catchment.settings.criteria:
        visibility = of_contract("offtakes", criterion.column)
        known = catchment.table("offtakes").spec.by_name
        if criterion.column not in known and sees(viewer, visibility):
            further = Field(criterion.column, Kind.NUMBER, "a further criterion of the score")
            cell = _cell(catchment, offtake, criterion.column)
            rows.append({**_input(catchment, offtake, further, cell), "visibility": visibility})
    for row in rows:
        if row["column"] in grounds and not row["default_used"]:
            row.update(grounds[row["column"]].told_to(viewer))
    columns = [
        Column(name, [row[name] for row in rows], Visibility.PUBLIC) for name in (rows or [{}])[0]
    ]
    return rows_shown(columns, viewer)


def _cell(catchment: Catchment, offtake: int, column: str) -> Any:
    return _plain(catchment.table("offtakes").columns[column][offtake])


def _input(catchment: Catchment, offtake: int, field: Field, given: Any) -> dict[str, Any]:
    """Give one input; what stands in for an empty cell is assumed, whatever the row says."""
    offtakes = catchment.table("offtakes")
    value = given if given is not None else _stand_in(catchment, offtake, field.name)
    default_used = _is_default(catchment, offtake, field, value)
    observed_on = offtakes.date("observed_on")[offtake]
    return {
        "column": field.name,
        "meaning": field.meaning,
        "unit": field.unit,
        "value": value,
        "basis": ASSUMED if default_used else str(offtakes.text("basis")[offtake]),
        "source": "" if default_used else str(offtakes.text("source")[offtake]),
        "by": "",
        "observed_on": None if default_used or np.isnat(observed_on) else str(observed_on),
        "default_used": default_used,
        "visibility": field.visibility,
    }


def _is_default(catchment: Catchment, offtake: int, field: Field, value: Any) -> bool:
    """Whether the cell was empty and something stands in for it."""
    offtakes = catchment.table("offtakes")
    if field.name in offtakes.defaulted:
        return bool(offtakes.defaulted[field.name][offtake])
    empty = _cell(catchment, offtake, field.name) is None
    return empty and (value is not None or bool(field.default_note))


def _stand_in(catchment: Catchment, offtake: int, column: str) -> Any:
    """Give what is used in the place of an empty cell, None where that is no one value."""
    reaches, reach = catchment.table("reaches"), int(catchment.reach_index[offtake])
    if column == "reach_id":
        return reaches.keys[reach]
    if column == "intake_depth_m":
        return _plain(reaches.number("depth_m")[reach])
    if column == "chainage_m" or column in USE_COLUMNS:
        return _plain(catchment.offtake_number(column)[offtake])
    return None


def _plain(cell: Any) -> Any:
    """Give a cell as a JSON value, None where it is empty."""
    if isinstance(cell, str):
        return cell or None
    number = float(cell)
    return None if np.isnan(number) else number
