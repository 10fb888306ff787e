"""What does a printed or stand-alone map show of a case? Rivers, towns, and offtakes by state."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.visibility import Viewer, of_contract, of_place, sees
from slackwater.reports.ground import Dot, Ground, River, Town

Numbers = NDArray[np.float64]
Facts = tuple[tuple[str, str], ...]


def ground_shown(case: CaseShown, viewer: Viewer, facts: dict[str, Facts] | None = None) -> Ground:
    """Give the map as far as a viewer may see it.

    Parameters
    ----------
    facts : code -> terms and values to be shown where the offtake is opened.
    """
    evaluation = case.evaluation
    places = _places(evaluation, viewer)
    by_hand_told = viewer is not Viewer.PUBLIC
    dots = tuple(
        _dot(row, places[row.position], by_hand_told, (facts or {}).get(row.code, ()))
        for row in case.rows
        if np.isfinite(places[row.position]).all()
    )
    return Ground(rivers_shown(evaluation), towns_shown(evaluation), dots)


def rivers_shown(evaluation: Evaluation) -> tuple[River, ...]:
    """Give every reach that has a line; rivers are public."""
    catchment = evaluation.catchment
    reaches, gauges = catchment.table("reaches"), catchment.table("gauges")
    if reaches.geometry is None or not sees(Viewer.PUBLIC, of_place("reaches")):
        return ()
    gauge = [gauges.index[gauge_id] for gauge_id in reaches.text("gauge_id")]
    flow_m3s = np.nan_to_num(catchment.flow_scale * catchment.records.mean_flow_m3s()[gauge])
    return tuple(
        River(str(name), shapely.get_coordinates(line), float(flow))
        for name, line, flow in zip(reaches.text("name"), reaches.geometry, flow_m3s, strict=True)
        if line is not None
    )


def towns_shown(evaluation: Evaluation) -> tuple[Town, ...]:
    """Give every town with its place; towns are public."""
    places = evaluation.catchment.table("places")
    if places.geometry is None:
        return ()
    return tuple(
        Town(str(name), int(size), point.x, point.y)
        for name, size, point in zip(
            places.text("name"), places.number("size"), places.geometry, strict=True
        )
    )


def _dot(row: CaseRow, place: Numbers, by_hand_told: bool, facts: Facts) -> Dot:
    lon, lat = place.tolist()
    sign = row.sign if by_hand_told else row.public_sign
    return Dot(row.code, sign, row.rank, lon, lat, facts)


def _places(evaluation: Evaluation, viewer: Viewer) -> Numbers:
    """(offtakes, 2) the intake for those who may know it, else the middle of its reach; NaN where
    neither is known.
    """
    catchment = evaluation.catchment
    intakes, lines = catchment.table("offtakes").geometry, catchment.table("reaches").geometry
    places = np.full((len(catchment.table("offtakes")), 2), np.nan)
    if lines is not None:
        middles = shapely.line_interpolate_point(lines[catchment.reach_index], 0.5, normalized=True)
        places = np.column_stack((shapely.get_x(middles), shapely.get_y(middles)))
    if intakes is not None and sees(viewer, of_place("offtakes")):
        own = np.column_stack((shapely.get_x(intakes), shapely.get_y(intakes)))
        places = np.where(np.isfinite(own), own, places)
    return places


def reach_name(evaluation: Evaluation, position: int, viewer: Viewer) -> str:
    """Give the name of the reach an offtake draws from, "" where it has none or is closed."""
    if not sees(viewer, of_contract("reaches", "name")):
        return ""
    names = evaluation.catchment.table("reaches").text("name")
    return str(names[evaluation.catchment.reach_index[position]])
