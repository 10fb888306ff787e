"""OGC API - Features, Part 1 (OGC 17-069r4): each test names the requirement it holds.

The texts of the requirements were read in the standard's own repository; those about ``limit`` and
about unknown parameters from memory and from servers that quote them.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl, quote, urlencode, urlsplit

import pytest
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.desk.showing import AsRead
from tests.catchment.small import small
from tests.contracts.features_served import SITES, wide
from tests.contracts.invented_views import client_of
from tests.contracts.seeded import view_of
from tests.contracts.small_view import small_view

PART_1 = "http://www.opengis.net/spec/ogcapi-features-1/1.0/conf"
CRS84 = "http://www.opengis.net/def/crs/OGC/1.3/CRS84"
OFFTAKES = "/ogc/collections/offtakes/items"
OUTSIDE = "river.example"


@pytest.fixture(scope="module")
def client() -> TestClient:
    return client_of(small_view())


@pytest.fixture(scope="module")
def many() -> TestClient:
    return client_of(wide())


def got(client: TestClient, address: str, status: int = 200) -> dict[str, Any]:
    """Ask and give the answer."""
    answer = client.get(address)
    assert answer.status_code == status, answer.text
    body: dict[str, Any] = answer.json()
    return body


def link_of(page: dict[str, Any], rel: str) -> dict[str, Any]:
    """Give the one link of a relation."""
    (found,) = [each for each in page["links"] if each["rel"] == rel]
    return found


def rels(page: dict[str, Any]) -> list[str]:
    """Give the relations of a page's links."""
    return [each["rel"] for each in page["links"]]


def test_the_landing_page_leads_to_everything(client: TestClient) -> None:
    """/req/core/root-op, root-success: with links to the API's description, the conformance and the
    data; with or without a slash at the end."""
    page = got(client, "/ogc")
    assert page == got(client, "/ogc/")
    for rel in ("service-desc", "service-doc", "conformance", "data"):
        target = link_of(page, rel)
        answer = client.get(target["href"])
        if rel != "service-doc":
            assert answer.headers["content-type"] == target["type"]
        assert answer.status_code == 200


def test_what_it_conforms_to_is_what_it_has(client: TestClient) -> None:
    """/req/core/conformance-op, conformance-success: core, GeoJSON and OpenAPI 3.0, no more."""
    assert got(client, "/ogc/conformance") == {
        "conformsTo": [f"{PART_1}/core", f"{PART_1}/geojson", f"{PART_1}/oas30"]
    }


def test_without_an_address_its_class_is_not_claimed() -> None:
    """/req/core/conformance-success: the list follows from the addresses that are there."""
    app = create_app(AsRead(small_view()))
    lost = [route for route in app.router.routes if getattr(route, "path", "") != "/ogc/api"]
    app.router.routes[:] = lost
    client = TestClient(app, base_url="http://127.0.0.1")
    assert got(client, "/ogc/conformance") == {"conformsTo": [f"{PART_1}/geojson"]}


def test_each_collection_is_described_where_it_stands_and_in_the_list(client: TestClient) -> None:
    """/req/core/fc-md-success, fc-md-items, fc-md-items-links, fc-md-links, sfc-md-success: the
    same in both, with a link to its items as GeoJSON; all links say ``rel`` and ``type``."""
    page = got(client, "/ogc/collections")
    assert [each["id"] for each in page["collections"]] == ["offtakes", "reaches", "gauges"]
    assert link_of(page, "self")["type"] == "application/json"
    for collection in page["collections"]:
        assert got(client, link_of(collection, "self")["href"]) == collection
        items = link_of(collection, "items")
        assert items["type"] == "application/geo+json"
        assert got(client, items["href"])["type"] == "FeatureCollection"
        assert all(each["rel"] and each["type"] for each in collection["links"])
        assert (collection["itemType"], collection["crs"]) == ("feature", [CRS84])


@pytest.mark.parametrize("name", ["offtakes", "reaches", "gauges"])
def test_an_extent_holds_every_feature(client: TestClient, name: str) -> None:
    """/req/core/fc-md-extent, crs84: the box of a collection in CRS84 holds all its places."""
    spatial = got(client, f"/ogc/collections/{name}")["extent"]["spatial"]
    (west, south, east, north), crs = spatial["bbox"][0], spatial["crs"]
    assert crs == CRS84
    for feature in got(client, f"/ogc/collections/{name}/items")["features"]:
        for lon, lat in points_of(feature["geometry"]):
            assert west <= lon <= east
            assert south <= lat <= north


def points_of(geometry: dict[str, Any]) -> list[list[float]]:
    """Give the points of a point or a line."""
    at = geometry["coordinates"]
    return [at] if geometry["type"] == "Point" else at


@pytest.mark.parametrize("name", ["offtakes", "reaches", "gauges"])
def test_items_are_a_geojson_feature_collection(client: TestClient, name: str) -> None:
    """/req/geojson/content, definition, core/fc-op, fc-response: RFC 7946 with links beside, places
    of at most seven decimals in longitude, latitude."""
    answer = client.get(f"/ogc/collections/{name}/items")
    assert answer.headers["content-type"] == "application/geo+json"
    page = answer.json()
    kind = "LineString" if name == "reaches" else "Point"
    assert page["type"] == "FeatureCollection"
    for feature in page["features"]:
        assert set(feature) == {"type", "id", "geometry", "properties"}
        assert (feature["type"], feature["geometry"]["type"]) == ("Feature", kind)
        for lon, lat in points_of(feature["geometry"]):
            assert (round(lon, 7), round(lat, 7)) == (lon, lat)
            assert 9 < lon < 11
            assert 49 < lat < 51


def test_a_feature_is_the_same_alone_as_among_others(client: TestClient) -> None:
    """/req/core/f-op, f-success, f-links: it links itself and its collection, with types."""
    for listed in got(client, OFFTAKES)["features"]:
        alone = got(client, f"{OFFTAKES}/{listed['id']}")
        links = alone.pop("links")
        assert alone == listed
        assert [(each["rel"], each["type"]) for each in links] == [
            ("self", "application/geo+json"),
            ("collection", "application/json"),
        ]
        assert got(client, links[0]["href"])["id"] == listed["id"]
        assert got(client, links[1]["href"])["id"] == "offtakes"


@pytest.mark.parametrize("code", ["a/b", "/a//b/", "ö ?&#%", "items", "{x}"])
def test_an_id_may_hold_anything(code: str) -> None:
    """/req/core/f-op: the link of a feature leads to it whatever its id holds."""
    of = small()
    of.set("offtakes", 2, "offtake_id", code)
    client = client_of(view_of(of))
    listed = got(client, OFFTAKES)["features"][2]
    page = got(client, f"{OFFTAKES}/{quote(code, safe='')}")
    assert page["properties"]["offtake_id"] == listed["id"] == code
    assert got(client, link_of(page, "self")["href"]) == page


def test_counts_and_a_time_stand_with_every_page(many: TestClient) -> None:
    """/req/core/fc-numberMatched, fc-numberReturned, fc-timeStamp: what matches on all pages, what
    is on this one, and when, in UTC."""
    total = SITES
    for limit in (1, total - 1, total):
        page = got(many, f"{OFFTAKES}?limit={limit}")
        assert page["numberMatched"] == total
        assert page["numberReturned"] == len(page["features"]) == min(limit, total)
        assert page["timeStamp"].endswith("Z")


@pytest.mark.parametrize("limit", [7, 50, 138, 139, 140])
def test_next_leads_through_all_and_prev_back(many: TestClient, limit: int) -> None:
    """/req/core/fc-links, /rec/core/fc-next-1, fc-prev: every feature once, in one order; the way
    back ends at the first; what else was asked stays in the links."""
    asked = {("as", "agency"), ("stands_at", "reach"), ("bbox", "90,-36,91,-35")}
    address = f"{OFFTAKES}?{urlencode(sorted(asked))}&limit="
    whole = got(many, f"{address}10000")["features"]
    met, page = [], got(many, f"{address}{limit}")
    while True:
        met += page["features"]
        if "next" not in rels(page):
            break
        href = link_of(page, "next")["href"]
        assert asked <= set(parse_qsl(urlsplit(href).query))
        page = got(many, href)
    assert met == whole
    assert len(whole) > 100
    while "prev" in rels(page):
        page = got(many, link_of(page, "prev")["href"])
    assert page["features"] == whole[:limit]


def test_a_page_past_the_end_is_empty_and_leads_back(client: TestClient) -> None:
    """/req/core/fc-response: past the last there is none, and the way back to it."""
    page = got(client, f"{OFFTAKES}?offset=50&limit=2")
    assert (page["features"], page["numberMatched"], page["numberReturned"]) == ([], 3, 0)
    assert "next" not in rels(page)
    assert len(got(client, link_of(page, "prev")["href"])["features"]) == 2


def test_a_limit_above_the_most_gives_the_most(client: TestClient) -> None:
    """/req/core/fc-limit-definition, fc-limit-response-1: 100 unless said; more than 10,000 is no
    error, 10,000 stands in its place (C)."""
    described = got(client, "/ogc/api")["components"]["parameters"]["limit"]["schema"]
    assert described == {"type": "integer", "minimum": 1, "maximum": 10_000, "default": 100}
    page = got(client, f"{OFFTAKES}?limit=10001&offset=1")
    assert page["numberReturned"] == 2
    assert "limit=10000" in link_of(page, "prev")["href"]


def test_links_are_absolute_as_whoever_asks_reaches_them() -> None:
    """/req/core/fc-links: on this machine by the name that was asked, behind a proxy by https."""
    app = create_app(AsRead(small_view()), Entry(outside=OUTSIDE))
    for host, origin in (
        ("127.0.0.1:8765", "http://127.0.0.1:8765"),
        ("localhost", "http://localhost"),
        ("[::1]:99", "http://[::1]:99"),
        (OUTSIDE, f"https://{OUTSIDE}"),
    ):
        client = TestClient(app, base_url=f"http://{host}")
        pages = [got(client, address) for address in ("/ogc", "/ogc/collections", OFFTAKES)]
        hrefs = [each["href"] for page in pages for each in page["links"]]
        assert all(href.startswith(f"{origin}/") for href in hrefs), hrefs


@pytest.mark.parametrize("host", ["127.0.0.1/evil", "evil@127.0.0.1", "127.0.0.1?evil"])
def test_a_twisted_host_reaches_no_link(client: TestClient, host: str) -> None:
    """OWASP ASVS 14.5 (from memory), of Host: what stands about the name is not repeated."""
    answer = client.get("/ogc", headers={"host": host})
    assert answer.status_code in (200, 421)
    assert "evil" not in answer.text


def test_it_is_read_only(client: TestClient) -> None:
    """/req/core/http: whatever would change something is no method of this door."""
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        for address in ("/ogc", "/ogc/collections", OFFTAKES, f"{OFFTAKES}/A"):
            assert client.request(method, address).status_code == 405
