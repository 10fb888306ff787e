"""Which columns and places of the offtakes go to a GIS? All that one viewer may see of them."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.contract.columns import number
from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.features.layer import (
    Layer,
    Offered,
    Places,
    Told,
    Value,
    contract_offered,
    no_places,
    shown_layer,
)
from slackwater.desk.features.offtake_results import results_offered
from slackwater.desk.status_shown import status_column
from slackwater.desk.visibility import Column, Viewer, of_place, select

NAMED_FIRST = ("offtake_id", "label")
STANDS_AT = Told("stands_at", Value.TEXT, "intake: the point is the intake; reach: it is mid-reach")


def offtakes_layer(evaluation: Evaluation, viewer: Viewer) -> Layer:
    """Give the offtakes; the point is the intake for who may know it, else the middle of its reach.

    Values are as they are worked with: what an empty cell means stands in its place.
    """
    catchment = evaluation.catchment
    told = _contract(catchment)
    names = [each for each in told if each.told.name in NAMED_FIRST]
    rest = [each for each in told if each.told.name not in NAMED_FIRST]
    places = select(_places(catchment), viewer)
    stands = [Offered(STANDS_AT, each) for each in _places(catchment) if each.name == "stands_at"]
    currency = catchment.settings.currency or "no currency is stated"
    return shown_layer(
        "offtakes",
        ("Offtakes", f"Where water is taken, with rank, loss and screen. Money: {currency}."),
        [*names, *results_offered(evaluation), *stands, *rest],
        catchment.table("offtakes").keys,
        _as_array(places["place"]) if "place" in places else no_places(len(evaluation.overlap)),
        viewer,
    )


def _contract(catchment: Catchment) -> list[Offered]:
    """Offer every column of the contract, then the further numbers that a criterion reads."""
    offtakes, reaches = catchment.table("offtakes"), catchment.table("reaches")
    depth_m = offtakes.number("intake_depth_m")
    reach_depth_m = reaches.number("depth_m")[catchment.reach_index]
    keys = np.array(reaches.keys, object)
    understood: dict[str, Any] = {
        "reach_id": keys[catchment.reach_index],
        "chainage_m": catchment.chainage_m,
        "intake_depth_m": np.where(np.isnan(depth_m), reach_depth_m, depth_m),
        **{name: catchment.offtake_number(name) for name in USE_COLUMNS},
    }
    known = offtakes.spec.by_name
    further = dict.fromkeys(
        each.column for each in catchment.settings.criteria if each.column not in known
    )
    fields = [
        *offtakes.spec.fields,
        *(number(name, "", "a further criterion of the score") for name in further),
    ]
    status = status_column(catchment)
    return [
        Offered(each.told, status) if each.told.name == status.name else each
        for each in contract_offered(offtakes, fields, understood)
    ]


def _places(catchment: Catchment) -> list[Column]:
    """Offer where each stands: its intake, and for the others the middle of its reach."""
    intakes, lines = catchment.table("offtakes").geometry, catchment.table("reaches").geometry
    middles = no_places(len(catchment.reach_index))
    if lines is not None:
        middles = shapely.line_interpolate_point(lines[catchment.reach_index], 0.5, normalized=True)
    columns = []
    if intakes is not None:  # an offtake given by its chainage alone stands mid-reach
        points = [m if i is None else i for i, m in zip(intakes, middles, strict=True)]
        stands = ["reach" if each is None else "intake" for each in intakes]
        columns += _placed(points, stands, "offtakes")
    if lines is not None:
        columns += _placed(list(middles), ["reach"] * len(middles), "reaches")
    return columns


def _placed(points: list[Any], stands: list[str], table: str) -> list[Column]:
    audience = of_place(table)
    return [Column("place", points, audience), Column("stands_at", stands, audience)]


def _as_array(places: list[Any]) -> Places:
    array = no_places(len(places))
    array[:] = places
    return array
