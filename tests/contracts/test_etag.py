"""Answers carry a tag: what has not changed is not sent again."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from slackwater.desk.map_view import MapView, Relief
from tests.contracts.invented_views import client_of, invented_view
from tests.contracts.small_view import small_view

PATHS = ("catchment", "offtakes", "reaches", "places", "land", "roads", "losses", "findings",
         "guide", "relief.png", "openapi.json", "offtakes/A/why", "offtakes/A/routes")  # fmt: skip


@pytest.fixture(scope="module")
def view() -> MapView:
    return small_view(Relief(b"\x89PNG", (10.0, 49.9, 10.3, 50.1)))


@pytest.fixture(scope="module")
def client(view: MapView) -> TestClient:
    return client_of(view)


@pytest.mark.parametrize("path", PATHS)
def test_what_has_not_changed_is_not_sent_again(client: TestClient, path: str) -> None:
    """Asked with its tag, every answer is 304, empty, guarded and tagged as before."""
    first = client.get(f"/api/{path}")
    assert first.status_code == 200
    again = client.get(f"/api/{path}", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["etag"] == first.headers["etag"]
    assert again.headers["x-content-type-options"] == "nosniff"


def test_a_tag_among_others_counts_and_a_strange_one_does_not(client: TestClient) -> None:
    """A list of tags is read, weak or strong; an unknown tag gets the answer."""
    tag = client.get("/api/offtakes").headers["etag"]
    for sent in (f'"x", {tag}', tag.removeprefix("W/")):
        assert client.get("/api/offtakes", headers={"If-None-Match": sent}).status_code == 304
    for sent in ('W/"x"', "*", ""):
        assert client.get("/api/offtakes", headers={"If-None-Match": sent}).status_code == 200


def test_each_viewer_and_address_has_its_own_tag(client: TestClient) -> None:
    """A tag of the lead's answer brings the public no 304, nor one view's another view's."""
    paths = [
        *(f"/api/offtakes?as={viewer}" for viewer in ("public", "agency", "lead")),
        "/api/losses?year=dry", "/api/losses?year=wet", "/api/offtakes/A/why",
        "/api/offtakes/B/why",
    ]  # fmt: skip
    assert len({client.get(path).headers["etag"] for path in paths}) == len(paths)


def test_other_data_or_a_later_working_out_has_other_tags(view: MapView) -> None:
    """Another data version or another time of working out gives another tag."""
    later = replace(view, worked_out_at=datetime(2026, 1, 3, tzinfo=UTC))
    views = (view, later, invented_view(1))
    assert len({client_of(each).get("/api/offtakes").headers["etag"] for each in views}) == 3


@pytest.mark.parametrize(
    "path", ["nothing", "offtakes?as=minister", "findings?as=public", "offtakes/none/why"]
)
def test_an_error_has_no_tag(client: TestClient, path: str) -> None:
    """What went wrong is asked for again in full."""
    answer = client.get(f"/api/{path}")
    assert answer.status_code >= 400
    assert "etag" not in answer.headers
    assert answer.headers["cache-control"] == "no-store"


def test_only_the_publics_answers_may_be_kept_by_a_browser(client: TestClient) -> None:
    """The agency's and the lead's answers are written to no disk; the public's are asked again."""
    keeping = {
        viewer: client.get(f"/api/offtakes?as={viewer}").headers["cache-control"]
        for viewer in ("public", "agency", "lead")
    }
    assert keeping == {"public": "private, no-cache", "agency": "no-store", "lead": "no-store"}


def test_compressed_or_not_the_tag_is_the_same(client: TestClient) -> None:
    """A tag is weak, since the same answer travels compressed or plain."""
    tags = {
        client.get("/api/offtakes", headers={"Accept-Encoding": coding}).headers["etag"]
        for coding in ("gzip", "identity")
    }
    assert len(tags) == 1
    assert tags.pop().startswith('W/"')
