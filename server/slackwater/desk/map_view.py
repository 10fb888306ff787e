"""What does the map page show? A catchment's evaluation as plain values for one viewer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime
from enum import StrEnum
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater import MODEL_VERSION
from slackwater.catchment.catchment import Catchment
from slackwater.catchment.table import Table
from slackwater.desk.catchment_facts import catchment_facts
from slackwater.desk.cell_grounds import GroundsOf
from slackwater.desk.coded_lines import code_lines, code_places
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.losses import losses_in_view
from slackwater.desk.offtake_columns import offtake_columns, options_of
from slackwater.desk.opening import Opened, open_catchment
from slackwater.desk.route_shares import route_shares
from slackwater.desk.visibility import Column, Viewer, of_contract, of_place, sees, select
from slackwater.desk.warnings_shown import warnings_for
from slackwater.desk.why import why
from slackwater.desk.year_views import YearView
from slackwater.errors import Finding

SIDES = ("west", "south", "east", "north")
MARGIN_SHARE = 0.02
DRAWN_FIRST = ("reaches", "gauges", "places", "land", "roads")
EVERYWHERE = (-180.0, -85.0, 180.0, 85.0)
SINGLE_POINT_DEG = 0.05
"""Margin about one gauge or town, where nothing else is drawn."""
OVERVIEW_STEPS = 3000
"""Steps across the catchment that an overview tells apart: finer than a large screen's pixels."""


class Detail(StrEnum):
    """How closely lines follow the river."""

    OVERVIEW = "overview"
    FULL = "full"


@dataclass(frozen=True)
class Relief:
    """The picture under the rivers.

    Attributes
    ----------
    png : the file's bytes.
    bounds : west, south, east, north in degrees; the picture is in EPSG:3857 between them.
    """

    png: bytes
    bounds: tuple[float, float, float, float]


@dataclass(frozen=True)
class MapView:
    """One catchment, evaluated once, ready to be shown."""

    evaluation: Evaluation
    warnings: tuple[Finding, ...]
    relief: Relief | None
    worked_out_at: datetime
    _kept: KeptAnswers = field(default_factory=KeptAnswers, init=False, repr=False, compare=False)

    @property
    def catchment(self) -> Catchment:
        """The catchment that was evaluated."""
        return self.evaluation.catchment

    @property
    def edition(self) -> str:
        """What the answers follow from: the same edition gives the same answers."""
        return f"{self.catchment.data_version} {MODEL_VERSION} {self.worked_out_at.isoformat()}"

    def facts(self, viewer: Viewer) -> dict[str, Any]:
        """Name, versions, years, bounds and what the loss counts."""
        return {
            **catchment_facts(self.evaluation, self.warnings, viewer),
            "worked_out_at": self.worked_out_at.isoformat(timespec="seconds"),
            "bounds": self._bounds,
            "relief_bounds": list(self.relief.bounds) if self.relief else None,
        }

    def offtake_row(self, offtake_id: str) -> int | None:
        """Row of an offtake in its table; None where there is none of this id."""
        return self.catchment.table("offtakes").index.get(offtake_id)

    def losses(self, year: YearView, guild: str, viewer: Viewer) -> dict[str, Any]:
        """Loss, risk and gain in another view; see `losses_in_view`."""
        return losses_in_view(self.evaluation, year, guild, viewer)

    def why(self, row: int, viewer: Viewer, grounds: GroundsOf | None = None) -> dict[str, Any]:
        """Why an offtake stands where it stands; kept."""

        def made() -> dict[str, Any]:
            code = self.catchment.table("offtakes").keys[row]
            return why(self.evaluation, row, viewer, grounds(code) if grounds else {})

        key = ("why", self.catchment.data_version, row, viewer)
        answer: dict[str, Any] = self._kept.give(key, made)
        return answer

    def routes(self, row: int, viewer: Viewer) -> dict[str, Any]:
        """Where an offtake's drifters come from and would have settled; kept."""
        key = ("routes", self.catchment.data_version, row, viewer)
        answer: dict[str, Any] = self._kept.give(
            key, lambda: route_shares(self.evaluation, row, viewer)
        )
        return answer

    def findings(self, viewer: Viewer) -> dict[str, Any]:
        """Warnings about the data, as far as the viewer may read them."""
        return {"warnings": [each.as_dict() for each in warnings_for(self.warnings, viewer)]}

    def offtakes(self, viewer: Viewer) -> dict[str, Any]:
        """Columns of the offtakes, and the options their best one points into."""
        return {
            "viewer": viewer.value,
            "count": len(self.catchment.table("offtakes")),
            "options": options_of(self.evaluation),
            **offtake_columns(self.evaluation, viewer),
        }

    def reaches(self, viewer: Viewer, detail: Detail = Detail.FULL) -> dict[str, Any]:
        """Rivers as coded lines, with each reach's mean flow."""
        catchment = self.catchment
        reaches, gauges = catchment.table("reaches"), catchment.table("gauges")
        gauge = [gauges.index[gauge_id] for gauge_id in reaches.text("gauge_id")]
        flow_m3s = catchment.flow_scale * catchment.records.mean_flow_m3s()[gauge]
        flow = Column("mean_flow_m3s", _short(flow_m3s), of_contract("reaches", "flow_scale"))
        columns = [*_contract_columns(reaches, ("reach_id", "name")), flow]
        drawn = reaches
        if detail is Detail.OVERVIEW and reaches.geometry is not None:
            west, south, east, north = self._bounds
            tolerance_deg = max(east - west, north - south) / OVERVIEW_STEPS
            drawn = replace(reaches, geometry=shapely.simplify(reaches.geometry, tolerance_deg))
        return {**_shape(drawn, viewer), **select(columns, viewer)}

    def land(self, viewer: Viewer) -> dict[str, Any]:
        """Towns, forests, wetlands and districts as coded rings."""
        land = self.catchment.table("land")
        return {
            **_shape(land, viewer),
            **select(_contract_columns(land, ("name", "kind")), viewer),
        }

    def roads(self, viewer: Viewer) -> dict[str, Any]:
        """Roads as coded lines."""
        roads = self.catchment.table("roads")
        return {
            **_shape(roads, viewer),
            **select(_contract_columns(roads, ("name", "class")), viewer),
        }

    def places(self, viewer: Viewer) -> dict[str, Any]:
        """Towns and villages with their size."""
        places = self.catchment.table("places")
        size = Column(
            "size", places.number("size").astype(int).tolist(), of_contract("places", "size")
        )
        shown = select([*_contract_columns(places, ("name",)), size], viewer)
        if not sees(viewer, of_place("places")) or places.geometry is None:
            return {"lon": [], "lat": [], "name": [], "size": []}
        coordinates = shapely.get_coordinates(places.geometry)
        return {**code_places(coordinates[:, 0], coordinates[:, 1]), **shown}

    @cached_property
    def _bounds(self) -> list[float]:
        """West, south, east, north around the rivers, with a small margin.

        Rivers without lines, as a workbook gives them, are shown by whatever else has a place
        that everyone may see.
        """
        drawn = (self.catchment.table(name).geometry for name in DRAWN_FIRST)
        shapes = next((each for each in drawn if each is not None), None)
        if shapes is None:
            return list(EVERYWHERE)
        west, south, east, north = shapely.total_bounds(shapes).tolist()
        margin = MARGIN_SHARE * max(east - west, north - south) or SINGLE_POINT_DEG
        return [west - margin, south - margin, east + margin, north + margin]


def open_map_view(path: Path) -> MapView:
    """Read, check and evaluate a catchment.

    Raises
    ------
    UsageError
        Where there is no catchment at the path.
    InputFaults
        Where its data is at fault; every fault is listed.
    """
    opened = open_catchment(path)
    relief = None
    if opened.relief_path:
        west, south, east, north = (float(opened.relief[side]) for side in SIDES)
        relief = Relief(Path(opened.relief_path).read_bytes(), (west, south, east, north))
    return view_of(opened, relief)


def view_of(opened: Opened, relief: Relief | None) -> MapView:
    """Evaluate a catchment that was read and checked."""
    return MapView(
        evaluation=evaluate(opened.catchment),
        warnings=tuple(opened.warnings),
        relief=relief,
        worked_out_at=datetime.now(UTC),
    )


def _contract_columns(table: Table, names: Sequence[str]) -> list[Column]:
    return [
        Column(name, table.text(name).tolist(), of_contract(table.name, name)) for name in names
    ]


def _shape(table: Table, viewer: Viewer) -> dict[str, Any]:
    visible = sees(viewer, of_place(table.name))
    return asdict(code_lines(table.geometry if visible else None))


def _short(values: NDArray[np.float64]) -> list[float]:
    """Numbers to four digits; 0 where there is none."""
    return [float(f"{value:.4g}") for value in np.nan_to_num(values)]
