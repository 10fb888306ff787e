"""The door's own description: OpenAPI 3.0, of what there is for whoever asks, and true of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from openapi_schema_validator import OAS30ReadValidator
from openapi_spec_validator import OpenAPIV30SpecValidator
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.desk.showing import AsRead
from slackwater.desk.visibility import Viewer
from tests.catchment.small import small
from tests.contracts.invented_views import SEEDS, client_of, invented_view
from tests.contracts.seeded import view_of
from tests.contracts.small_view import small_view

OPENAPI = "application/vnd.oai.openapi+json;version=3.0"
PARAMETERS = "#/components/parameters/"


@pytest.fixture(scope="module")
def client() -> TestClient:
    return client_of(small_view())


def described(client: TestClient, viewer: Viewer = Viewer.LEAD) -> dict[str, Any]:
    """Give the description as one viewer gets it."""
    answer = client.get("/ogc/api", params={"as": viewer.value})
    assert (answer.status_code, answer.headers["content-type"]) == (200, OPENAPI)
    document: dict[str, Any] = answer.json()
    return document


def operations(document: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give each path with what GET does there, the references to parameters followed."""
    named = document["components"]["parameters"]
    for path, methods in document["paths"].items():
        assert list(methods) == ["get"]
        operation = methods["get"]
        parameters = [
            named[each["$ref"].removeprefix(PARAMETERS)] if "$ref" in each else each
            for each in operation["parameters"]
        ]
        yield path, {**operation, "parameters": parameters}


@pytest.mark.parametrize("viewer", list(Viewer))
def test_it_is_valid_openapi_3_0(client: TestClient, viewer: Viewer) -> None:
    """/req/oas30/oas-definition-1, oas-definition-2: openapi-spec-validator finds no fault."""
    document = described(client, viewer)
    assert document["openapi"].startswith("3.0.")
    assert list(OpenAPIV30SpecValidator(document).iter_errors()) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_answers_are_as_it_says(seed: int) -> None:
    """/req/oas30/oas-impl, core/api-definition-op, api-definition-success: every path of it
    answers, and the answer fits the schema it gives for it."""
    client = client_of(invented_view(seed))
    for viewer in Viewer:
        document = described(client, viewer)
        (server,) = document["servers"]
        codes = [
            each["id"] for each in client.get("/ogc/collections/offtakes/items").json()["features"]
        ]
        for path, operation in operations(document):
            if "{featureId}" in path and "offtakes" not in path:
                continue
            address = server["url"] + path.replace("{featureId}", codes[0])
            answer = client.get(address, params={"as": viewer.value})
            assert answer.status_code == 200, address
            ((media_type, content),) = operation["responses"]["200"]["content"].items()
            assert answer.headers["content-type"] == media_type
            require_fits(document, content["schema"], answer.json())


def require_fits(document: dict[str, Any], schema: dict[str, Any], value: Any) -> None:
    """Require a value to fit a schema of a document."""
    whole = {**schema, "components": document["components"]}
    errors = [error.message for error in OAS30ReadValidator(whole).iter_errors(value)]
    assert errors == []


def test_an_answer_that_is_otherwise_would_be_found(client: TestClient) -> None:
    """The check above can fail: a rank that is a word does not fit."""
    document = described(client)
    operation = dict(operations(document))["/collections/offtakes/items/{featureId}"]
    schema = operation["responses"]["200"]["content"]["application/geo+json"]["schema"]
    feature = client.get("/ogc/collections/offtakes/items/A").json()
    feature["properties"]["rank"] = "first"
    with pytest.raises(AssertionError):
        require_fits(document, schema, feature)


def test_refusals_are_as_it_says(client: TestClient) -> None:
    """/req/oas30/exception-codes, completeness: each status this door answers is named, with the
    shape that every error has."""
    document = described(client)
    for address, status, path in (
        ("/ogc/collections?x=1", 400, "/collections"),
        ("/ogc/collections/offtakes/items?limit=0", 400, "/collections/offtakes/items"),
        ("/ogc/collections/offtakes/items/none", 404, "/collections/offtakes/items/{featureId}"),
    ):
        answer = client.get(address)
        said = document["paths"][path]["get"]["responses"][str(status)]["$ref"]
        response = document["components"]["responses"][said.rpartition("/")[2]]
        assert answer.status_code == status
        require_fits(document, response["content"]["application/json"]["schema"], answer.json())


def test_the_standards_parameters_are_as_it_writes_them(client: TestClient) -> None:
    """/req/core/fc-bbox-definition A, fc-time-definition A, fc-limit-definition: as the standard
    has them."""
    named = described(client)["components"]["parameters"]
    for name in ("bbox", "datetime", "limit"):
        assert named[name]["required"] is False
        assert (named[name]["in"], named[name]["style"]) == ("query", "form")
        assert named[name]["explode"] is False
    assert named["datetime"]["schema"] == {"type": "string"}
    assert named["bbox"]["schema"] == {
        "type": "array",
        "oneOf": [{"minItems": 4, "maxItems": 4}, {"minItems": 6, "maxItems": 6}],
        "items": {"type": "number"},
    }


@pytest.mark.parametrize("viewer", list(Viewer))
def test_what_can_be_asked_for_is_what_is_shown(client: TestClient, viewer: Viewer) -> None:
    """/rec/core/fc-filters: each property that this viewer sees is a parameter of its own type, and
    no other is; the JSON schema names the same."""
    document = described(client, viewer)
    items = dict(operations(document))["/collections/offtakes/items"]["parameters"]
    own = {each["name"] for each in document["components"]["parameters"].values()}
    asked = {each["name"]: each["schema"]["type"] for each in items if each["name"] not in own}
    answer = client.get("/ogc/collections/offtakes/items", params={"as": viewer.value}).json()
    assert set(asked) == set(answer["features"][0]["properties"])
    address = f"/ogc/collections/offtakes/schema?as={viewer.value}"
    schema = client.get(address)
    assert schema.headers["content-type"] == "application/schema+json"
    told = schema.json()["properties"]["properties"]["properties"]
    assert {name: each["type"] for name, each in told.items()} == asked


def test_a_column_called_like_a_parameter_is_none() -> None:
    """A further criterion of the score may have any name; ``limit`` stays the page's length."""
    of = small()
    for row in range(3):
        of.set("offtakes", row, "limit", str(row))
    of.settings["criterion"] = [{"column": "limit", "weight": 0.1, "worst": 0.0, "best": 2.0}]
    client = client_of(view_of(of))
    document = described(client)
    names = [
        each["name"]
        for each in dict(operations(document))["/collections/offtakes/items"]["parameters"]
    ]
    assert names.count("limit") == 1
    page = client.get("/ogc/collections/offtakes/items?limit=1").json()
    assert page["numberReturned"] == 1
    assert page["features"][0]["properties"]["limit"] == 0.0
    public = client.get("/ogc/collections/offtakes/items?limit=1&as=public").json()
    assert "limit" not in public["features"][0]["properties"]


@pytest.mark.parametrize("public_map", [False, True])
def test_how_to_sign_in_is_told_where_there_are_accounts(public_map: bool) -> None:
    """/req/oas30/security: a token as it stands or as a password; nothing without accounts."""
    app = create_app(AsRead(small_view()))
    app.state.entry = Entry(accounts=object(), public_map=public_map)  # type: ignore[arg-type]
    document = TestClient(app, base_url="http://127.0.0.1").get("/ogc/api").json()
    assert list(OpenAPIV30SpecValidator(document).iter_errors()) == []
    schemes = document["components"]["securitySchemes"].values()
    assert {each["scheme"] for each in schemes} == {"bearer", "basic"}
    assert ({} in document["security"]) == public_map
    assert "security" not in described(client_of(small_view()))
