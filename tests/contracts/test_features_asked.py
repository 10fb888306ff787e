"""What a GIS may ask of a layer: boxes, times, values; everything else is refused in one shape."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from slackwater.desk.features.box import Box
from tests.contracts.invented_views import client_of
from tests.contracts.small_view import small_view

OFFTAKES = "/ogc/collections/offtakes/items"
REACHES = "/ogc/collections/reaches/items"
CRS84 = "http://www.opengis.net/def/crs/OGC/1.3/CRS84"
CRS84_WITH_HEIGHT = "http://www.opengis.net/def/crs/OGC/0/CRS84h"


@pytest.fixture(scope="module")
def client() -> TestClient:
    return client_of(small_view())


def ids(client: TestClient, address: str, **asked: str) -> list[str]:
    """Ask and give the ids of what comes."""
    answer = client.get(address, params=asked)
    assert answer.status_code == 200, answer.text
    page = answer.json()
    found = [each["id"] for each in page["features"]]
    assert page["numberMatched"] == len(found)
    return found


BOXES: list[tuple[str, list[str]]] = [
    ("10.01,50.01,10.03,50.02", ["A"]),
    ("10.01,49,10.09,51", ["A", "B"]),
    ("10.02,50.015,10.02,50.015", ["A"]),  # a box that is a point, on A's
    ("10.02,50,10.02,51", ["A"]),  # and one that is a line
    ("-180,-90,180,90", ["A", "B", "C"]),
    ("0,0,1,1", []),
    ("10.01,50.01,-5,10.03,50.02,99", ["A"]),  # with heights
    ("170,-90,-170,90", []),  # over the antimeridian
    ("10.1,-90,10.03,90", ["A", "C"]),  # all around the earth but a strip with B in it
]


@pytest.mark.parametrize(("box", "codes"), BOXES)
def test_a_box_leaves_in_what_it_touches(client: TestClient, box: str, codes: list[str]) -> None:
    """/req/core/fc-bbox-definition, fc-bbox-response: four or six numbers, edges included."""
    assert ids(client, OFFTAKES, bbox=box) == codes


@pytest.mark.parametrize("crs", [CRS84, CRS84_WITH_HEIGHT])
def test_the_one_reference_system_may_be_named(client: TestClient, crs: str) -> None:
    """/req/core/fc-bbox-definition C, D: the box is in CRS84, or CRS84h with heights."""
    box = "10.01,50.01,0,10.03,50.02,1" if crs == CRS84_WITH_HEIGHT else "10.01,50.01,10.03,50.02"
    assert ids(client, OFFTAKES, **{"bbox": box, "bbox-crs": crs, "crs": CRS84}) == ["A"]


def test_a_line_is_touched_where_it_crosses_between_its_points(client: TestClient) -> None:
    """/req/core/fc-bbox-response: not a point of the line, but the line, must touch."""
    assert ids(client, REACHES, bbox="10.034,50.007,10.036,50.008") == ["up"]


LON = st.floats(-180, 180)
LAT = st.floats(-90, 90)


@given(west=LON, east=LON, low=LAT, high=LAT, lon=LON, lat=LAT)
def test_a_box_holds_a_point_as_plain_comparison_has_it(
    west: float, east: float, low: float, high: float, lon: float, lat: float
) -> None:
    """/req/core/fc-bbox-response, RFC 7946 section 5.2: west above east spans the antimeridian."""
    south, north = min(low, high), max(low, high)
    across = west <= lon <= east if west <= east else (lon >= west or lon <= east)
    place = np.array([shapely.Point(lon, lat)], object)
    touched = Box(west, south, east, north).touches(place)
    assert touched.tolist() == [across and south <= lat <= north]


@given(at=st.lists(st.integers(-8, 8), min_size=8, max_size=8))
def test_a_box_touches_a_line_as_clipping_has_it(at: list[int]) -> None:
    """/req/core/fc-bbox-response: against the clipping of Liang and Barsky (1984), in fractions."""
    x0, y0, x1, y1, *corners = at
    west, east = sorted(corners[:2])
    south, north = sorted(corners[2:])
    line = np.array([shapely.LineString([(x0, y0), (x1, y1)])], object)
    touched = Box(west, south, east, north).touches(line)
    assert touched.tolist() == [clipped((x0, y0), (x1, y1), (west, south), (east, north))]


def clipped(
    start: tuple[int, int], end: tuple[int, int], low: tuple[int, int], high: tuple[int, int]
) -> bool:
    """Whether anything of a segment is left after clipping it to a box."""
    first, last = Fraction(0), Fraction(1)
    for axis in (0, 1):
        step = end[axis] - start[axis]
        for sign, bound in ((-1, low[axis]), (1, high[axis])):
            along, room = sign * step, sign * (bound - start[axis])
            if along == 0 and room < 0:
                return False
            if along:
                at = Fraction(room, along)
                first, last = (first, min(last, at)) if along > 0 else (max(first, at), last)
    return first <= last


def test_what_has_no_place_is_in_every_box() -> None:
    """/req/core/fc-bbox-response: features without a geometry match whatever the box."""
    nowhere = np.array([None, shapely.Point(), shapely.Point(5, 5)], object)
    assert Box(0, 0, 1, 1).touches(nowhere).tolist() == [True, True, False]


TIMES = [
    "2018-02-12T23:20:50Z",
    "2018-02-12T00:00:00Z/2018-03-18T12:31:12Z",
    "2018-02-12T00:00:00Z/..",
    "../2018-03-18T12:31:12Z",
    "2018-02-12T00:00:00Z/",
    "/2018-03-18T12:31:12Z",
    "2018-02-12t23:20:50.52z",
    "1990-12-31T23:59:60Z",
    "1996-12-19T16:39:57-08:00",
    "2018-02-12",
    "2018-02-12/2018-03-18",
    "2018-02-12/2018-02-12",
    "2018-02-12/..",
    "/2018-03-18",
    "2018-02-12T23:20:50Z/2018-02-12",  # a date that ends an interval is in it to its end
]


@pytest.mark.parametrize("time", TIMES)
def test_a_time_leaves_out_nothing_for_nothing_has_one(client: TestClient, time: str) -> None:
    """/req/core/fc-time-definition, fc-time-response C: features without a time match; the examples
    are those of the standard and of RFC 3339 section 5.8."""
    assert ids(client, OFFTAKES, datetime=time) == ["A", "B", "C"]


BAD_VALUES = [
    *(("limit", each) for each in ("0", "-1", "1.5", "ten", "", "1e3", "٣", "9" * 40)),
    *(("offset", each) for each in ("-1", "x", "")),
    *(("bbox", each) for each in ("", "1,2,3", "1,2,3,4,5", "a,b,c,d", "1,2,3,nan", "1,2,3,inf",
                                  "0,5,1,4", "0,0,9,1,1,8", "-181,0,0,1", "0,0,1,90.5")),
    *(("bbox-crs", each) for each in ("EPSG:4326", "", CRS84.lower())),
    *(("crs", each) for each in ("http://www.opengis.net/def/crs/EPSG/0/4326", CRS84_WITH_HEIGHT)),
    *(("datetime", each) for each in ("", "..", "../..", "/", "2018", "2018-02", "2018-02-30",
                                      "yesterday",
                                      "2018-02-30T00:00:00Z", "2018-02-12T23:20:50",
                                      "2018-02-12T00:00:00Z/2017-02-12T00:00:00Z",
                                      "2018-02-12/2018-02-11", "20180212", "2018-02-12/2018",
                                      "2018-02-12/2018-02-11T23:59:59Z",
                                      "2018-02-12T00:00:00Z/x", "a/b/c", "2018-02-12T25:00:00Z")),
    *(("rank", each) for each in ("", "first", "nan", "inf")),
    *(("capacity_m3s", each) for each in ("0.2 m3/s", "0,2")),
    ("as", "minister"),
    *(("f", each) for each in ("html", "JSON", "", "geojson")),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value"), BAD_VALUES)
def test_a_value_that_is_none_is_refused(client: TestClient, name: str, value: str) -> None:
    """/req/core/query-param-invalid: 400 in the service's one shape, naming the parameter."""
    answer = client.get(OFFTAKES, params={name: value})
    assert answer.status_code == 400
    error = answer.json()["error"]
    assert set(error) == {"code", "message"}
    assert error["message"].startswith(f"{name}:") or name == "as"
    assert answer.headers["content-type"] == "application/json"


@pytest.mark.parametrize(
    "address", ["/ogc", "/ogc/", "/ogc/conformance", "/ogc/api", "/ogc/collections", OFFTAKES,
                "/ogc/collections/offtakes", "/ogc/collections/offtakes/schema", f"{OFFTAKES}/A"]
)  # fmt: skip
def test_a_parameter_that_is_not_known_is_refused(client: TestClient, address: str) -> None:
    """/req/core/query-param-unknown: 400 everywhere; the parameter is named where its name is a
    plain word, its value never; ``as`` and ``f=json`` are known everywhere."""
    for name, named in (
        ("QQXX", "the parameter QQXX"),
        ("case", "the parameter case"),
        ("Limit", "the parameter Limit"),
        ("<b>QQZZ", "a parameter"),
        ("QQZZ" * 20, "a parameter"),
    ):
        answer = client.get(address, params={"as": "public", name: "QQYY"})
        assert answer.status_code == 400
        assert "QQYY" not in answer.text
        assert "QQZZ" not in answer.text
        message = answer.json()["error"]["message"]
        assert message.startswith(f"{named} is not known here; there are: ")
    for query in ("as=public", "f=json", "f=json&as=public"):
        assert client.get(f"{address}?{query}").status_code == 200


@pytest.mark.parametrize("query", ["limit=1&limit=2", "as=public&as=lead", "rank=1&rank=2"])
def test_a_parameter_is_said_once(client: TestClient, query: str) -> None:
    """/req/core/query-param-invalid: two values of one name are none."""
    answer = client.get(f"{OFFTAKES}?{query}")
    assert (answer.status_code, answer.json()["error"]["code"]) == (400, "usage_error")


@pytest.mark.parametrize(
    "address",
    ["/ogc/collections/none", "/ogc/collections/none/items", "/ogc/collections/none/schema",
     "/ogc/collections/cases", f"{OFFTAKES}/QQXX", "/ogc/QQXX", "/ogc/collections/offtakes/QQXX"],
)  # fmt: skip
def test_what_is_not_there_is_not_found(client: TestClient, address: str) -> None:
    """/req/core/http: 404 in the one shape; a file that is served has no cases."""
    answer = client.get(address)
    assert (answer.status_code, set(answer.json()["error"])) == (404, {"code", "message"})
    assert "QQXX" not in answer.text


def test_any_column_may_be_asked_for_by_value(client: TestClient) -> None:
    """/rec/core/fc-filters: for every column and row the value that is shown finds the row, and
    only rows that show it too."""
    page = client.get(OFFTAKES).json()["features"]
    count = 0
    for name in page[0]["properties"]:
        shown: dict[str, Any] = {each["id"]: each["properties"][name] for each in page}
        for value in {each for each in shown.values() if each is not None}:
            rows = [code for code, each in shown.items() if each == value]
            assert ids(client, OFFTAKES, **{name: str(value)}) == rows, name
            count += 1
    assert count > 100


def test_what_is_asked_together_holds_together(client: TestClient) -> None:
    """/rec/core/fc-filters: values and a box leave what all of them leave."""
    assert ids(client, OFFTAKES, district="North") == ["A", "B"]
    assert ids(client, OFFTAKES, district="North", kind="fixed_suction") == ["B"]
    assert ids(client, OFFTAKES, district="North", bbox="10.01,50.01,10.03,50.02") == ["A"]
    assert ids(client, OFFTAKES, district="' OR '1'='1") == []
