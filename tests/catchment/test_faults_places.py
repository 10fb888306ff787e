"""Faults of geometry: missing, of another type, invalid, outside the system, off the river."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from pyproj import Transformer
from shapely import (
    GeometryCollection,
    LineString,
    MultiLineString,
    MultiPoint,
    MultiPolygon,
    Point,
    Polygon,
)

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Shape
from slackwater.catchment.raw import UNREADABLE
from slackwater.catchment.understand import understand
from slackwater.errors import Finding
from tests.catchment.small import Small, only_fault, place_of, small, southern

PLACED = [name for name, spec in TABLES.items() if spec.shape is not Shape.NONE]
SQUARE = Polygon([(10, 50), (10.1, 50), (10.1, 50.1), (10, 50.1)])
BOW_TIE = Polygon([(10, 50), (10.1, 50.1), (10.1, 50), (10, 50.1)])
WRONG: dict[Shape, list[Any]] = {
    Shape.POINT: [LineString([(10, 50), (10.1, 50)]), MultiPoint([(10, 50), (10.1, 50)]), SQUARE],
    Shape.LINE: [
        Point(10, 50),
        SQUARE,
        MultiLineString([[(10, 50), (10.01, 50)], [(10.02, 50), (10.03, 50)]]),
        MultiLineString([[(10, 50), (10.01, 50)], [(10.02, 50), (10.01, 50)]]),
    ],
    Shape.POLYGON: [Point(10, 50), GeometryCollection([SQUARE])],
}
INVALID: dict[Shape, list[Any]] = {
    Shape.POINT: [Point(float("nan"), 50), Point(10, float("inf"))],
    Shape.LINE: [LineString([(10, 50), (10, 50)]), LineString([(10, 50), (10.1, float("inf"))])],
    Shape.POLYGON: [BOW_TIE, Polygon([(10, 50), (10, 50), (10, 50), (10, 50)])],
}
PAIRS_WRONG = [(name, each) for name in PLACED for each in WRONG[TABLES[name].shape]]
PAIRS_INVALID = [(name, each) for name in PLACED for each in INVALID[TABLES[name].shape]]


def plant(table: str, shape: Any) -> Small:
    """Give the small catchment with another place for one row of a table."""
    of = small()
    of.set(table, 0, "geometry", shape)
    return of


@pytest.mark.parametrize("table", PLACED)
@pytest.mark.parametrize("empty", [None, Point(), LineString(), Polygon()])
def test_geometry_empty(table: str, empty: Any) -> None:
    """A row without a place, or with an empty one, is one fault."""
    assert place_of(only_fault(plant(table, empty))) == (table, 2, "geometry", "geometry_empty")


@pytest.mark.parametrize(("table", "shape"), PAIRS_WRONG)
def test_geometry_type(table: str, shape: Any) -> None:
    """A place of another type is one fault, parts that do not join end to end included."""
    assert place_of(only_fault(plant(table, shape))) == (table, 2, "geometry", "geometry_type")


@pytest.mark.parametrize(("table", "shape"), PAIRS_INVALID)
def test_geometry_invalid(table: str, shape: Any) -> None:
    """Coordinates that are not finite, a line of one point and a crossed area are faults."""
    assert place_of(only_fault(plant(table, shape))) == (table, 2, "geometry", "geometry_invalid")


@pytest.mark.parametrize("table", PLACED)
def test_already_reported(table: str) -> None:
    """A place that the reader could not read is not reported twice."""
    fault = Finding(table, 2, "", "", "", "geometry_invalid", "draw it again")
    assert understand(replace(plant(table, UNREADABLE).raw(), faults=(fault,))).faults == (fault,)


@pytest.mark.parametrize("table", PLACED)
def test_no_crs(table: str) -> None:
    """Coordinates in no system are one fault of the table."""
    of = small()
    of.tables[table].crs = ""
    assert of.understood().faults == ()  # the settings name it
    del of.settings["crs"]
    assert place_of(only_fault(of)) == (table, None, "", "no_crs")


@pytest.mark.parametrize("table", PLACED)
def test_unknown_crs(table: str) -> None:
    """A system that nobody knows is one fault, of the table or of the settings that name it."""
    of = small()
    of.tables[table].crs = "EPSG:99999999"
    assert place_of(only_fault(of)) == (table, None, "", "unknown_crs")
    of.tables[table].crs = ""
    of.settings["crs"] = "the usual one"
    assert place_of(only_fault(of)) == ("catchment", None, "crs", "unknown_crs")


@pytest.mark.parametrize("table", ["gauges", "offtakes", "reaches"])
@pytest.mark.parametrize(("dx", "dy"), [(0, 41), (360, 0), (0, -200)])
def test_outside_degrees(table: str, dx: float, dy: float) -> None:
    """Degrees beyond 180 or 90 are a fault of their row."""
    of = small()
    places = of.tables[table].geometry
    assert places is not None
    of.set(table, 0, "geometry", shapely.transform(places[0], lambda c: c + np.array((dx, dy))))
    assert place_of(only_fault(of)) == (table, 2, "geometry", "outside_crs")


def utm(of: Small, table: str, crs: str = "EPSG:32632") -> None:
    """Bring a table into a projected system."""
    to_metres = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
    places = of.tables[table].geometry
    assert places is not None
    of.tables[table].geometry = [
        shapely.transform(place, lambda c: np.column_stack(to_metres.transform(*c.T)))
        for place in places
    ]
    of.tables[table].crs = crs


@pytest.mark.parametrize("table", ["gauges", "offtakes", "reaches"])
def test_projected(table: str) -> None:
    """Projected coordinates are brought to degrees to within a micrometre."""
    of, plain = small(), small()
    utm(of, table)
    moved, stayed = of.understood().catchment, plain.understood().catchment
    assert moved is not None
    assert stayed is not None
    ours, theirs = moved.table(table).geometry, stayed.table(table).geometry
    assert ours is not None
    want = shapely.get_coordinates(theirs)
    assert shapely.get_coordinates(ours) == pytest.approx(want, abs=1e-11)


def test_projected_outside() -> None:
    """Projected coordinates far from where the system holds are a fault of their row."""
    of = small()
    utm(of, "offtakes")
    of.set("offtakes", 1, "geometry", Point(32_500_000, 5_500_000))
    assert place_of(only_fault(of)) == ("offtakes", 3, "geometry", "outside_crs")


@pytest.mark.parametrize("table", ["gauges", "offtakes", "reaches", "depots"])
def test_degrees_called_metres(table: str) -> None:
    """Degrees in a table said to be projected are one fault of the table."""
    of = small()
    of.tables[table].crs = "EPSG:32632"
    assert place_of(only_fault(of)) == (table, None, "", "outside_crs")


def test_metres_called_degrees() -> None:
    """Metres in a table said to be in degrees are one fault of the table."""
    of = small()
    utm(of, "offtakes")
    of.tables["offtakes"].crs = "EPSG:4326"
    assert place_of(only_fault(of)) == ("offtakes", None, "", "outside_crs")


@pytest.mark.parametrize("table", [name for name in PLACED if name != "reaches"])
def test_no_geometry(table: str) -> None:
    """A table whose source carries no place at all is one fault."""
    of = small()
    of.tables[table].geometry = None
    assert place_of(only_fault(of)) == (table, None, "", "no_geometry")


def test_far_from_reach() -> None:
    """An offtake further from its reach than the limit is a fault, chainage given or not."""
    of = small()
    of.set("offtakes", 0, "geometry", Point(10.02, 50.019))
    assert place_of(only_fault(of)) == ("offtakes", 2, "reach_id", "far_from_reach")
    of.set("offtakes", 0, "chainage_m", "")
    assert place_of(only_fault(of)) == ("offtakes", 2, "reach_id", "far_from_reach")
    of.settings["snap_limit_m"] = 450
    assert of.understood().faults == ()


def test_far_from_every_reach() -> None:
    """An offtake without a reach, far from every one, is a fault of its place."""
    of = small()
    of.set("offtakes", 2, "geometry", Point(10.25, 50.05))
    fault = only_fault(of)
    assert place_of(fault) == ("offtakes", 4, "geometry", "far_from_reach")
    assert "low" in fault.remedy


def without_lines() -> Small:
    """Give the small catchment with reaches from a sheet, which carries no lines."""
    of = small()
    of.tables["reaches"].geometry = None
    of.set("offtakes", 1, "chainage_m", "2000")
    of.set("offtakes", 2, "reach_id", "low")
    of.set("offtakes", 2, "chainage_m", "4000")
    return of


def test_sheet_without_lines() -> None:
    """Reaches from a sheet need no line where lengths and chainages are given."""
    assert without_lines().understood().faults == ()


@pytest.mark.parametrize(
    ("table", "position", "column", "code"),
    [
        ("reaches", 1, "length_m", "no_length"),
        ("offtakes", 2, "reach_id", "no_reach"),
        ("offtakes", 1, "chainage_m", "no_chainage"),
    ],
)
def test_sheet_lacks(table: str, position: int, column: str, code: str) -> None:
    """What a line would have told must be given where reaches come from a sheet."""
    of = without_lines()
    of.set(table, position, column, "")
    assert place_of(only_fault(of)) == (table, 2 + position, column, code)


def test_no_place_no_season() -> None:
    """Where no offtake can be placed, nothing that hangs on the season's start is reported."""
    of = southern()
    assert of.understood().faults == ()
    of.tables["offtakes"].crs = "EPSG:99999999"
    assert place_of(only_fault(of)) == ("offtakes", None, "", "unknown_crs")


def test_settings_unreadable() -> None:
    """Where the settings cannot be read, nothing that they might have said is reported."""
    of = southern()
    cells = of.tables["offtakes"].cells
    cells["MAX_RATE"] = cells.pop("capacity_m3s")
    of.tables["offtakes"].crs = ""
    of.settings = {}
    fault = Finding("catchment", 3, "", "", "", "unreadable", "mend the TOML")
    assert understand(replace(of.raw(), faults=(fault,))).faults == (fault,)


def test_parts_that_join() -> None:
    """Parts that join end to end are one line, in whichever order they are stored; Z is dropped."""
    of, plain = small(), small()
    whole = of.tables["reaches"].geometry[4]  # type: ignore[index]
    a, b, c = whole.coords
    parts = MultiLineString([[(*b, 3.0), (*c, 2.0)], [(*a, 4.0), (*b, 3.0)]])
    of.set("reaches", 4, "geometry", parts)
    of.set("gauges", 0, "geometry", MultiPoint([(10.07, 50.0)]))
    of.set("land", 0, "geometry", MultiPolygon([of.tables["land"].geometry[0]]))  # type: ignore[index]
    joined, stayed = of.understood().catchment, plain.understood().catchment
    assert joined is not None
    assert stayed is not None
    assert joined.table("reaches").geometry[4].equals(whole)  # type: ignore[index]
    assert joined.data_version == stayed.data_version


def test_lines_may_cross_themselves() -> None:
    """A line that crosses itself is no fault."""
    of = small()
    crossed = [(10.1, 50), (10.15, 50.02), (10.15, 50.01), (10.12, 50.02), (10.2, 50)]
    of.set("reaches", 4, "geometry", LineString(crossed))
    assert of.understood().faults == ()


def test_nothing_placed_after_reader_failed() -> None:
    """A table that the reader reported and left out is not called missing as well."""
    raw = small().raw()
    fault = Finding("reaches", None, "", "", "", "unreadable", "save it again")
    tables = {name: table for name, table in raw.tables.items() if name != "reaches"}
    faults = understand(replace(raw, tables=tables, faults=(fault,))).faults
    assert faults == (fault,)
