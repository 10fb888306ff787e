"""Programs that know the standard and not us: GDAL from Debian, GDAL in pyogrio, and OWSLib."""

from __future__ import annotations

import base64
import shlex
import sqlite3
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import geopandas
import httpx
import numpy as np
import pytest
import shapely
from owslib.ogcapi.features import Features

from slackwater.api.entry import Entry
from slackwater.catchment.contract import TABLES
from slackwater.desk.accounts import Accounts
from slackwater.desk.showing import AsRead
from slackwater.desk.visibility import Viewer, of_contract, sees
from slackwater.desk.working import Working
from slackwater.guide.pages import page
from tests.contracts.features_served import SITES, run, served, told_by, wide
from tests.contracts.small_view import small_view

PAGES = ("-oo", "PAGE_SIZE=1000")
PASSWORD = "a long password of a test"
READ_BY_PYOGRIO = """
import sys, pyogrio
pyogrio.write_dataframe(pyogrio.read_dataframe(sys.argv[1], layer="reaches"), sys.argv[2])
"""
"""In a process of its own: it holds this one's lock while it waits for the service here."""


@pytest.fixture(scope="module")
def many() -> Iterator[str]:
    """The address of a service of 2,500 offtakes without accounts."""
    with served(AsRead(wide())) as address:
        yield f"{address}/ogc"


@pytest.fixture(scope="module")
def few() -> Iterator[str]:
    """The address of a service of three."""
    with served(AsRead(small_view())) as address:
        yield f"{address}/ogc"


@pytest.fixture
def accounts(working: Working) -> Accounts:
    """A lead, a viewer and somebody who looks after the service, in a database."""
    made = Accounts(working.register)
    for name in ("lead", "viewer", "admin"):
        made.add_person(name, [name], PASSWORD, by="")
    return made


def columns_of(viewer: Viewer) -> set[str]:
    """Give the contract's columns that a viewer may see."""
    fields = TABLES["offtakes"].fields
    return {each.name for each in fields if sees(viewer, of_contract("offtakes", each.name))}


def columns_in(file: Path) -> set[str]:
    """Give the columns of the offtakes in a GeoPackage."""
    with sqlite3.connect(file) as database:
        return {row[1] for row in database.execute("PRAGMA table_info(offtakes)")}


@pytest.mark.parametrize("viewer", [Viewer.LEAD, Viewer.PUBLIC])
def test_ogr2ogr_copies_all_with_the_columns_of_whoever_asks(
    many: str, viewer: Viewer, tmp_path: Path
) -> None:
    """All 2,500 offtakes with their places; of the contract exactly the columns of that viewer."""
    file = tmp_path / "copied.gpkg"
    told_by("ogr2ogr", *PAGES, str(file), f"OAPIF:{many}?as={viewer.value}", "offtakes")
    found = columns_in(file)
    assert found & set(TABLES["offtakes"].by_name) == columns_of(viewer)
    copied = geopandas.read_file(file, layer="offtakes").set_index("offtake_id")
    assert len(copied) == copied.index.nunique() == SITES
    evaluation = wide().evaluation
    codes = list(wide().catchment.table("offtakes").keys)
    told = copied.loc[codes]
    assert told["rank"].tolist() == evaluation.ranking.rank.tolist()
    places = wide().catchment.table("offtakes").geometry
    away = shapely.distance(np.asarray(told.geometry), places)
    assert (away.max() < 1e-6) == (viewer is Viewer.LEAD)
    assert set(told["stands_at"]) == {"intake" if viewer is Viewer.LEAD else "reach"}
    if viewer is Viewer.LEAD:
        np.testing.assert_array_equal(told["volume_m3_per_year"], evaluation.volume_ml * 1000)


def test_without_being_told_how_it_pages_through_all(many: str, tmp_path: Path) -> None:
    """/req/core/fc-links: an older GDAL asks for ten at a time and follows every next link."""
    file = tmp_path / "copied.gpkg"
    told_by("ogr2ogr", str(file), f"OAPIF:{many}", "reaches")
    assert len(geopandas.read_file(file, layer="reaches")) == SITES // 2


def test_ogrinfo_reads_layers_counts_and_types(many: str) -> None:
    """The layers with their kind of place; numbers are numbers though the first rows are empty."""
    assert "3: gauges" in told_by("ogrinfo", "-q", f"OAPIF:{many}")
    told = told_by("ogrinfo", "-so", f"OAPIF:{many}", "offtakes")
    for line in (f"Feature Count: {SITES}", "Geometry: Point", "rank: Integer", "quote: Real",
                 "observed_on: Date", "offtake_id: String"):  # fmt: skip
        assert line in told


def test_gdal_lets_the_service_search(many: str) -> None:
    """/req/core/fc-bbox-response, /rec/core/fc-filters: a box and a value give what plain
    comparison of all rows gives."""
    places = shapely.get_coordinates(wide().catchment.table("offtakes").geometry)
    west, south, east, north = 90.0, -36.0, 91.0, -35.0
    inside = (places >= (west, south)).all(axis=1) & (places <= (east, north)).all(axis=1)
    box = [str(each) for each in (west, south, east, north)]
    told = told_by("ogrinfo", "-so", *PAGES, f"OAPIF:{many}", "offtakes", "-spat", *box)
    assert f"Feature Count: {int(inside.sum())}" in told
    told = told_by("ogrinfo", "-q", f"OAPIF:{many}", "offtakes", "-where", "rank = 7")
    seventh = int(np.flatnonzero(wide().evaluation.ranking.rank == 7)[0])
    assert told.count("OGRFeature") == 1
    assert wide().catchment.table("offtakes").keys[seventh] in told


def test_pyogrio_reads_lines_as_they_are(many: str, tmp_path: Path) -> None:
    """A newer GDAL reads the reaches' lines to seven decimals, and their flow."""
    file = tmp_path / "read.gpkg"
    told_by(sys.executable, "-c", READ_BY_PYOGRIO, f"OAPIF:{many}", str(file))
    read = geopandas.read_file(file)
    lines = wide().catchment.table("reaches").geometry
    np.testing.assert_allclose(
        shapely.get_coordinates(read.geometry), shapely.get_coordinates(lines), atol=5.1e-8
    )
    assert read["mean_flow_m3s"].dtype == np.float64
    assert read.crs.equals(4326) or read.crs.to_epsg() == 4326


def test_owslib_finds_its_way_from_the_address_alone(many: str) -> None:
    """Landing page, conformance, description, collections, items and one item, by a library that
    was written to the standard."""
    gis = Features(many)
    assert gis.api()["openapi"].startswith("3.0")
    assert len(gis.conformance()["conformsTo"]) == 3
    assert gis.feature_collections() == ["offtakes", "reaches", "gauges"]
    assert gis.collection("offtakes")["itemType"] == "feature"
    page_of = gis.collection_items("offtakes", limit=5, offset=10, bbox=[90, -37, 96, -33])
    assert page_of["numberReturned"] == 5
    assert {"next", "prev"} <= {each["rel"] for each in page_of["links"]}
    code = page_of["features"][0]["id"]
    assert gis.collection_item("offtakes", code)["properties"]["offtake_id"] == code


def test_the_guides_command_lines_work_as_they_stand(few: str, tmp_path: Path) -> None:
    """Each line of the guide's page that needs no token, its address replaced by this one's."""
    text = page("gis").replace("http://127.0.0.1:8765/ogc", few)
    lines = [line for line in text.splitlines() if line.startswith("ogr") and few in line]
    assert len(lines) >= 4
    for line in lines:
        words = shlex.split(line)
        told_by(*(str(tmp_path / each) if each.endswith(".gpkg") else each for each in words))
    counts = {file.name: len(geopandas.read_file(file, layer="offtakes"))
              for file in tmp_path.iterdir()}  # fmt: skip
    assert counts == {"offtakes.gpkg": 3, "north.gpkg": 2, "public.gpkg": 3}


@pytest.mark.parametrize("way", ["bearer", "basic"])
def test_a_token_opens_the_door_as_its_owner(
    working: Working, accounts: Accounts, way: str, tmp_path: Path
) -> None:
    """RFC 6750 and RFC 7617: as GDAL sends it, a lead's token brings the lead's columns."""
    secret = accounts.make_token("lead", "a GIS", "read", 1)["secret"]
    sent = {
        "bearer": {"GDAL_HTTP_HEADERS": f"Authorization: Bearer {secret}"},
        "basic": {"GDAL_HTTP_AUTH": "BASIC", "GDAL_HTTP_USERPWD": f"anything:{secret}"},
    }[way]
    file = tmp_path / "copied.gpkg"
    with served(working, Entry(accounts=accounts)) as address:
        source = f"OAPIF:{address}/ogc"
        told_by("ogr2ogr", *PAGES, str(file), source, "offtakes", **sent)
        assert run("ogrinfo", source).returncode != 0
        assert run("ogrinfo", source, **_wrong(sent)).returncode != 0
    assert columns_in(file) >= columns_of(Viewer.LEAD)


def _wrong(sent: dict[str, str]) -> dict[str, str]:
    return {name: f"{value}x" if "AUTH" not in name else value for name, value in sent.items()}


WHO: dict[str, tuple[str, str, Viewer]] = {
    "a viewer": ("viewer", "all", Viewer.AGENCY),
    "a lead's public token": ("lead", "public", Viewer.PUBLIC),
    "an admin": ("admin", "all", Viewer.PUBLIC),
}


@pytest.mark.parametrize("who", WHO)
def test_each_role_gets_its_columns_whatever_it_asks(
    working: Working, accounts: Accounts, who: str
) -> None:
    """By role and scope of a token, and asking to look as the lead changes nothing."""
    name, scope, viewer = WHO[who]
    secret = accounts.make_token(name, "a GIS", scope, 1)["secret"]
    login = {"Authorization": "Basic " + base64.b64encode(f"x:{secret}".encode()).decode()}
    with (
        served(working, Entry(accounts=accounts)) as address,
        httpx.Client(base_url=address, headers=login, trust_env=False) as client,
    ):
        for query in ("", "?as=lead"):
            answer = client.get(f"/ogc/collections/offtakes/items{query}")
            shown = set(answer.json()["features"][0]["properties"])
            assert shown & set(TABLES["offtakes"].by_name) == columns_of(viewer)
            layers = client.get(f"/ogc/collections{query}").json()["collections"]
            assert ("cases" in [each["id"] for each in layers]) == (viewer is Viewer.AGENCY)


@pytest.mark.parametrize("public_map", [False, True])
def test_without_an_account_there_is_the_public_map_or_nothing(
    working: Working, accounts: Accounts, public_map: bool
) -> None:
    """401 at every address of the door, or the public's columns; in the one shape of an error."""
    entry = Entry(accounts=accounts, public_map=public_map)
    with (
        served(working, entry) as address,
        httpx.Client(base_url=address, trust_env=False) as client,
    ):
        for path in ("", "/conformance", "/api", "/collections", "/collections/offtakes/items"):
            answer: Any = client.get(f"/ogc{path}")
            assert answer.status_code == (200 if public_map else 401), path
            assert ("error" in answer.json()) != public_map
        if public_map:
            told = answer.json()["features"][0]["properties"]
            assert set(told) & set(TABLES["offtakes"].by_name) == columns_of(Viewer.PUBLIC)
