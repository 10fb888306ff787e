"""What is a GeoJSON file taken to say?"""

from __future__ import annotations

import json
import math

import pytest

from slackwater.catchment.raw import UNREADABLE
from slackwater.files.read import read_catchment


def read(tmp_path, features, name="gauges", **members):
    document = {"type": "FeatureCollection", "features": features, **members}
    (tmp_path / f"{name}.geojson").write_text(json.dumps(document), "utf-8")
    return read_catchment(tmp_path)


def feature(properties, geometry):
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def point(lon=1.0, lat=2.0):
    return {"type": "Point", "coordinates": [lon, lat]}


def test_values_stay_as_given(tmp_path):
    """Text, numbers, true and null arrive as JSON gives them, missing properties as None."""
    raw = read(
        tmp_path,
        [
            feature({"a": "007", "b": 7, "c": True}, point()),
            feature({"a": None, "d": [1]}, point()),
        ],
    )
    cells = raw.tables["gauges"].cells
    assert cells == {"a": ["007", None], "b": [7, None], "c": [True, None], "d": [None, "[1]"]}
    assert raw.tables["gauges"].rows == (1, 2)


def test_not_finite_numbers_are_left_to_the_checks(tmp_path):
    """NaN among properties arrives as a float."""
    raw = read(tmp_path, [feature({"area_km2": math.nan}, point())])
    assert math.isnan(raw.tables["gauges"].cells["area_km2"][0])


def test_degrees_unless_told_otherwise(tmp_path):
    """WGS84 longitude, latitude is assumed, an old-style crs member honoured, null is none."""
    assert read(tmp_path, []).tables["gauges"].crs == "OGC:CRS84"
    named = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::28355"}}
    assert read(tmp_path, [], crs=named).tables["gauges"].crs == "urn:ogc:def:crs:EPSG::28355"
    assert read(tmp_path, [], crs=None).tables["gauges"].crs == ""
    assert [f.code for f in read(tmp_path, [], crs={"type": "link"}).faults] == ["no_crs"]


@pytest.mark.parametrize("geometry", [
    {"type": "LineString", "coordinates": [[1, 2]]},
    {"type": "LineString", "coordinates": [1, 2]},
    {"type": "Point", "coordinates": [[1, 2]]},
    {"type": "Point", "coordinates": ["1", "2"]},
    {"type": "Point", "coordinates": [1]},
    {"type": "Point", "coordinates": [None, 1]},
    {"type": "Point", "coordinates": [True, 1]},
    {"type": "Point"},
    {"type": "Polygon", "coordinates": [[[0, 0], [1, 1]]]},
    {"type": "Blob", "coordinates": []},
    {"type": 3},
    [1, 2],
    "POINT (1 2)",
])  # fmt: skip
def test_what_cannot_be_built_is_told_with_its_feature(tmp_path, geometry):
    """A geometry that makes no shape is a fault once, by feature number and key."""
    sound = feature({"gauge_id": "a"}, point())
    raw = read(tmp_path, [sound, feature({"gauge_id": "b"}, geometry)])
    (fault,) = raw.faults
    assert (fault.row, fault.key, fault.code) == (2, "b", "geometry_invalid")
    assert raw.tables["gauges"].geometry[1] is UNREADABLE


def test_no_geometry_is_left_to_the_checks(tmp_path):
    """null gives None, empty coordinates an empty shape, heights are left out."""
    raw = read(
        tmp_path,
        [
            feature({}, None),
            feature({}, {"type": "Point", "coordinates": []}),
            feature({}, {"type": "Point", "coordinates": [1, 2, 3]}),
        ],
    )
    none, empty, flat = raw.tables["gauges"].geometry
    assert none is None
    assert empty.is_empty
    assert flat.wkt == "POINT (1 2)"
    assert raw.faults == ()


@pytest.mark.parametrize(("text", "told"), [
    ('{"type": "FeatureCollection",\n "features": [}', "line 2, column 15"),
    ('{"type": "Feature"}', "FeatureCollection"),
    ("[" * 100_000, "JSON"),
    ("", "line 1"),
])  # fmt: skip
def test_a_broken_file_says_where(tmp_path, text, told):
    """JSON that does not parse, or is no collection, is one fault that says where."""
    (tmp_path / "gauges.geojson").write_text(text, "utf-8")
    raw = read_catchment(tmp_path)
    (fault,) = raw.faults
    assert (fault.table, fault.code) == ("gauges", "unreadable")
    assert told in fault.remedy
    assert raw.tables == {}


def test_an_entry_that_is_no_feature_is_told(tmp_path):
    """Something else in the list is a fault with its number."""
    raw = read(tmp_path, [feature({"gauge_id": "a"}, point()), 5])
    assert [(f.row, f.code) for f in raw.faults] == [(2, "unreadable")]
