"""No byte that the public or the agency gets holds what is not theirs, in any rendering."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Visibility
from slackwater.desk.map_view import MapView
from slackwater.desk.visibility import Viewer
from tests.catchment.small import Small
from tests.contracts.invented_views import client_of
from tests.contracts.seeded import Secrets, numbers_from, seeded_small, unlike, view_of

RANKED = {"score", "rank", "tie_order"}
"""What the contract shows to everyone though every column goes into it."""
BY_COST = {"cost", "parts"}
"""The criterion is on a scale from the cheapest to the dearest site, quoted ones among them."""


@dataclass(frozen=True)
class Seeded:
    """A view full of secrets, a client for it and what is closed to whom."""

    view: MapView
    client: TestClient
    closed: dict[Viewer, Secrets]


@pytest.fixture(scope="module")
def seeded() -> Seeded:
    of, planted = seeded_small()
    view = view_of(of)
    private, agency = planted[Visibility.PRIVATE], planted[Visibility.AGENCY]
    made = numbers_from(view)
    private.numbers.extend(unlike(made[Visibility.PRIVATE]))
    everything = Secrets(
        private.texts + agency.texts,
        private.numbers + agency.numbers + unlike(made[Visibility.AGENCY]),
        private.flows + agency.flows,
        private.places,
        private.columns + agency.columns,
    )
    return Seeded(view, client_of(view), {Viewer.AGENCY: private, Viewer.PUBLIC: everything})


def addresses(seeded: Seeded, viewer: Viewer) -> Iterator[str]:
    """Give every address of the description with every offtake, year and guild; the guide; and
    addresses that go wrong."""
    values = {
        "offtake_id": list(seeded.view.catchment.table("offtakes").keys),
        "year": ["mean", "dry", "median", "wet"],
        "guild": ["all", *seeded.view.catchment.table("guilds").keys],
        "detail": ["overview", "full"],
        "case": [""],
        "work_id": ["none"],
        "wait_s": ["0"],
    }
    for path, methods in seeded.client.get("/api/openapi.json").json()["paths"].items():
        if "get" not in methods:
            continue
        asked = [p["name"] for p in methods["get"].get("parameters", []) if p["name"] != "as"]
        assert set(asked) <= values.keys(), f"{path}: a parameter this test does not know"
        for chosen in product(*(values[name] for name in asked)):
            given = dict(zip(asked, chosen, strict=True))
            address = path.format(**given)
            query = "&".join(f"{n}={v}" for n, v in given.items() if f"{{{n}}}" not in path)
            yield f"{address}?{query}&as={viewer.value}"
    yield "/api/openapi.json"
    yield from (each["address"] for each in seeded.client.get("/api/guide").json()["pages"])
    yield from ("/guide/look.css", "/guide/none", "/api/none", "/", "/assets/none.js")
    yield f"/api/offtakes/none/why?as={viewer.value}"
    yield f"/api/losses?guild=none&as={viewer.value}"
    yield f"/api/losses?year=none&as={viewer.value}"


@pytest.mark.parametrize("viewer", [Viewer.PUBLIC, Viewer.AGENCY])
def test_no_secret_is_in_any_byte(seeded: Seeded, viewer: Viewer) -> None:
    """Of every answer, page, error and header: no closed text, and no closed number in any unit,
    in full or to 3-6 digits."""
    closed = seeded.closed[viewer]
    count = 0
    for address in addresses(seeded, viewer):
        answer = seeded.client.get(address)
        headers = {n: v for n, v in answer.headers.items() if n != "content-length"}
        told = f"{answer.text}\n{headers}"
        assert "SECRET" not in told, address
        assert not [text for text in closed.texts if text in told], address
        found = closed.found_in(told)
        assert not found, f"{address} tells {found}"
        count += 1
    assert count >= 40


@pytest.mark.parametrize("viewer", [Viewer.PUBLIC, Viewer.AGENCY])
def test_work_on_sets_is_for_the_lead_alone(seeded: Seeded, viewer: Viewer) -> None:
    """Whatever starts, shows or stops work refuses everyone else, in the same words for all."""
    paths = seeded.client.get("/api/openapi.json").json()["paths"]
    closed = {
        (method, path)
        for path, methods in paths.items()
        for method in methods
        if method != "get" or path.startswith("/api/work")
    }
    assert len(closed) >= 6
    said = set()
    for method, path in closed:
        body = None if method in ("get", "delete") else {"budget": 1e6, "code": "A"}
        if path != "/api/entry" and body:
            del body["code"]
        address = f"{path.format(work_id='x')}?as={viewer.value}"
        answer = seeded.client.request(method, address, json=body)
        assert answer.status_code == 403, path
        said.add(answer.text)
    assert len(said) == 1


def test_the_secrets_are_there_to_be_found(seeded: Seeded) -> None:
    """The lead, who may see them, does get every planted secret: the search finds what is told."""
    closed = seeded.closed[Viewer.PUBLIC]
    told = "".join(seeded.client.get(address).text for address in addresses(seeded, Viewer.LEAD))
    assert [text for text in closed.texts if text not in told] == []
    found = closed.found_in(told)
    planted = {
        float(seeded.view.catchment.table("offtakes").number(name)[row])
        for name in closed.columns
        if TABLES["offtakes"].by_name[name].is_number
        for row in range(3)
    }
    assert planted | set(closed.places) <= found


@pytest.mark.parametrize("viewer", [Viewer.PUBLIC, Viewer.AGENCY])
def test_no_closed_column_has_a_key(seeded: Seeded, viewer: Viewer) -> None:
    """Closed columns are absent by name, in columns, rows and the list of inputs."""
    closed = set(seeded.closed[viewer].columns)
    for address in addresses(seeded, viewer):
        if address.startswith("/api/") and "openapi" not in address and ".png" not in address:
            told = pairs(seeded.client.get(address).json())
            keys = {key for key, value in told if not isinstance(value, dict)}
            assert not closed & keys, address  # the landholder's side of a screen is a table
    for row in range(3):
        assert not closed & {each["column"] for each in seeded.view.why(row, viewer)["inputs"]}


def test_the_public_is_not_told_who_refused_or_why(seeded: Seeded) -> None:
    """Neither declined, nor unwilling, nor any reason is in an answer about the offtakes."""
    for address in addresses(seeded, Viewer.PUBLIC):
        if address.startswith(("/api/offtakes", "/api/losses", "/api/catchment")):
            text = seeded.client.get(address).text
            assert not re.search(r"declined|unwilling|not_funded|obstacles", text), address


def test_warnings_are_not_for_the_public(seeded: Seeded) -> None:
    """The public is refused them, and the agency gets none made from a private column."""
    refused = seeded.client.get("/api/findings?as=public")
    assert (refused.status_code, refused.json()["error"]["code"]) == (403, "forbidden")
    of, _ = seeded_small()
    of.set("offtakes", 0, "licence", "A")
    of.set("metered", 0, "draw_m3s", "0.2987654")
    told = {who: client_of(view_of(of)).get(f"/api/findings?as={who}").json()["warnings"]
            for who in ("lead", "agency")}  # fmt: skip
    private = {"id_is_licence", "draw_above_capacity"}
    assert private <= {warning["code"] for warning in told["lead"]}
    assert not private & {warning["code"] for warning in told["agency"]}


@pytest.mark.parametrize(
    ("table", "row", "column", "value", "viewers"),
    [
        ("offtakes", 1, "landholder", "Someone else", (Viewer.PUBLIC, Viewer.AGENCY)),
        ("offtakes", 1, "licence", "999", (Viewer.PUBLIC, Viewer.AGENCY)),
        ("offtakes", 1, "contact", "another", (Viewer.PUBLIC, Viewer.AGENCY)),
        ("offtakes", 1, "quote", "47111.25", (Viewer.PUBLIC, Viewer.AGENCY)),
        ("offtakes", 0, "wear_cost_year", "913.7", (Viewer.PUBLIC,)),
        ("offtakes", 0, "pump_head_m", "33.3", (Viewer.PUBLIC,)),
        ("offtakes", 2, "status", "candidate", (Viewer.PUBLIC,)),
    ],
)
def test_another_secret_gives_the_same_answer(
    table: str, row: int, column: str, value: str, viewers: tuple[Viewer, ...]
) -> None:
    """Where a closed value changes, nothing that is shown changes but score and rank."""
    after = seeded_small()[0]
    after.set(table, row, column, value)
    for viewer in viewers:
        assert shown_before(viewer) == shown(after, viewer)


@cache
def shown_before(viewer: Viewer) -> str:
    """Give all that a viewer is shown before anything changes."""
    return shown(seeded_small()[0], viewer)


def shown(of: Small, viewer: Viewer) -> str:
    """Give all that a viewer is shown but version, score and rank."""
    view = view_of(of)
    hidden = RANKED | (BY_COST if viewer is Viewer.AGENCY else set()) | {"data_version"}
    everything = {
        address: client_of(view).get(address).text
        for address in addresses(Seeded(view, client_of(view), {}), viewer)
        if address.startswith("/api/") and ".png" not in address
    }
    told = {address: without(json.loads(text), hidden) for address, text in everything.items()}
    return json.dumps(told, sort_keys=True)


def without(value: Any, hidden: set[str]) -> Any:
    """Give a JSON value without some keys, at any depth."""
    if isinstance(value, dict):
        return {key: without(each, hidden) for key, each in value.items() if key not in hidden}
    return [without(each, hidden) for each in value] if isinstance(value, list) else value


def pairs(value: Any) -> Iterator[tuple[str, Any]]:
    """Give every key with its value, at any depth."""
    if isinstance(value, dict):
        for key, each in value.items():
            yield key, each
            yield from pairs(each)
    elif isinstance(value, list):
        for each in value:
            yield from pairs(each)
