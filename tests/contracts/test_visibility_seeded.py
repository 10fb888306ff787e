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
from tests.contracts.small_register import client_of as worked_on
from tests.contracts.small_register import ended, new_id, working_on
from tests.contracts.small_register import shown as shown_at

MOMENT = re.compile(r"\d{4}-\d\d-\d\dT[\d:.]+")
"""When something was worked out; like a digest, its digits may be any."""
A_SETTING = "OIDC_CLIENT_SECRET"
"""The guide names it; what we plant says SECRET and more."""
RANKED = {"score", "rank", "tie_order"}
"""What the contract shows to everyone though every column goes into it."""
BY_COST = {"cost", "parts"}
"""The criterion is on a scale from the cheapest to the dearest site, quoted ones among them."""


CLOSED = (
    "/api/work", "/api/edit", "/api/rows", "/api/cases", "/api/compare", "/api/offers",
    "/api/meetings",
)  # fmt: skip
"""Addresses that are for the lead alone also to be read."""
MEETING = "/api/meet/"
"""What is told there is for whoever has the code: `private/test_meeting_roles.py` looks at it."""
PRINTED = (
    "/print/fund/{case}",
    "/print/board/{case}",
    "/print/landholder/{case}/{code}",
    "/files/{case}.xlsx",
    "/files/{case}.html",
)


@dataclass(frozen=True)
class Seeded:
    """A view full of secrets, a client for it and what is closed to whom.

    ``case`` is the id of a case that holds secrets too, where there is a database.
    """

    view: MapView
    client: TestClient
    closed: dict[Viewer, Secrets]
    case: str = ""


@pytest.fixture(scope="module")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Seeded]:
    """A working database whose register, history, case and offer are full of secrets."""
    of, planted = seeded_small()
    working = working_on(of.raw(), tmp_path_factory.mktemp("seeded") / "seeded.sqlite")
    client = worked_on(working)
    case = fill_with_secrets(client)
    view = working.of().view
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
    yield Seeded(view, client, {Viewer.AGENCY: private, Viewer.PUBLIC: everything}, case)
    working.close()


def fill_with_secrets(client: TestClient) -> str:
    """Write down an edit, an offer and a case, each with a secret; give the case's id."""
    key = client.get("/api/catchment").json()["guilds"][0]["guild_id"]
    before = client.get(f"/api/rows/guilds/{key}").json()["cells"]["species"]
    change = {"table": "guilds", "key": key, "column": "species", "old": before, "new": "cod"}
    edit = {"id": new_id(), "changes": [change], "why": "SECRET why", "by": "SECRET who"}
    answer = client.post("/api/edits", json=edit)
    assert answer.status_code == 200, answer.text
    shown_at(client, answer.json()["revision"])
    offer = {
        "id": new_id(),
        "code": "A",
        "step": "note",
        "on": "2026-01-05",
        "words": "SECRET words",
    }
    assert client.post("/api/offers", json=offer).status_code == 200
    weights = {"risk": 500, "overlap": 200, "cost": 300}
    trial = {"weights": weights, "budget": 1e6, "way": "best", "kept_in": {"A": "SECRET reason"}}
    asked = {"id": new_id(), "name": "SECRET name", "note": "SECRET note", "trial": trial}
    work = ended(client, "/api/cases", asked)
    assert work["state"] == "done", work["error"]
    return str(work["answer"]["id"])


def addresses(seeded: Seeded, viewer: Viewer) -> Iterator[str]:
    """Give every address of the description with every offtake, year, guild and case; what is
    printed; the guide; and addresses that go wrong."""
    codes = list(seeded.view.catchment.table("offtakes").keys)
    case = seeded.case or "none"
    values = {
        "offtake_id": codes,
        "year": ["mean", "dry", "median", "wet"],
        "guild": ["all", *seeded.view.catchment.table("guilds").keys],
        "detail": ["overview", "full"],
        "work_id": ["none"],
        "wait_s": ["0"],
        "since": [""],
        "case": ["", case] if seeded.case else [""],
        "case_id": [case],
        "one": [case],
        "other": [case],
        "table": ["offtakes"],
        "key": codes,
        "before": [],
        "limit": [],
        "run_id": [SOME_ID],
        "run": [SOME_ID],
        "photo_id": [SOME_ID],
        "token_id": ["none"],
    }
    for path, methods in seeded.client.get("/api/openapi.json").json()["paths"].items():
        if "get" not in methods or path.startswith(MEETING):
            continue
        asked = [p["name"] for p in methods["get"].get("parameters", []) if p["name"] != "as"]
        assert set(asked) <= values.keys(), f"{path}: a parameter this test does not know"
        asked = [name for name in asked if values[name]]
        for chosen in product(*(values[name] for name in asked)):
            given = dict(zip(asked, chosen, strict=True))
            address = path.format(**given)
            query = "&".join(f"{n}={v}" for n, v in given.items() if f"{{{n}}}" not in path)
            yield f"{address}?{query}&as={viewer.value}"
    for printed in PRINTED:
        for code in codes if "{code}" in printed else codes[:1]:
            yield f"{printed.format(case=case, code=code)}?as={viewer.value}"
    yield "/api/openapi.json"
    yield from (each["address"] for each in seeded.client.get("/api/guide").json()["pages"])
    yield from ("/guide/look.css", "/guide/none", "/api/none", "/", "/assets/none.js")
    yield f"/api/offtakes/none/why?as={viewer.value}"


@pytest.mark.parametrize("viewer", [Viewer.PUBLIC, Viewer.AGENCY])
def test_no_secret_is_in_any_byte(seeded: Seeded, viewer: Viewer) -> None:
    """Of every answer, page, error and header: no closed text, and no closed number in any unit,
    in full or to 3-6 digits."""
    closed = seeded.closed[viewer]
    count = 0
    for address in addresses(seeded, viewer):
        answer = seeded.client.get(address)
        headers = {n: v for n, v in answer.headers.items() if n not in ("content-length", "etag")}
        told = MOMENT.sub("", f"{answer.text}\n{headers}").replace(A_SETTING, "")
        assert "SECRET" not in told, address
        assert not [text for text in closed.texts if text in told], address
        found = closed.found_in(told)
        assert not found, f"{address} tells {found}"
        count += 1
    assert count >= 40


FUND = {"budget": 1e6}
SOME_ID = "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20"
REASONED = {"id": SOME_ID, "why": "w"}
NAMED = {"id": SOME_ID, "name": "n"}
CELL = {"table": "offtakes", "key": "A", "column": "label", "old": "Pump A", "new": "B"}
BODIES: dict[str, Any] = {
    "/api/best-set": FUND,
    "/api/curve": FUND,
    "/api/how-sure": FUND,
    "/api/entry": {**FUND, "code": "A"},
    "/api/reserve": {**FUND, "code": "A"},
    "/api/edits": {**REASONED, "changes": [CELL]},
    "/api/edits/{edit_id}/undo": REASONED,
    "/api/paste": {"table": "offtakes", "text": "offtake_id\nA"},
    "/api/place": {"code": "A", "lon": 10.0, "lat": 50.0},
    "/api/uploads": None,
    "/api/uploads/{upload_id}/accept": REASONED,
    "/api/cases": {
        "id": SOME_ID,
        "name": "n",
        "trial": {"weights": {}, "budget": 1, "way": "score"},
    },
    "/api/cases/{case_id}/share": None,
    "/api/proposals/accept": {**REASONED, "picks": [{"note_id": SOME_ID}]},
    "/api/proposals/refuse": {**REASONED, "note_ids": [SOME_ID]},
    "/api/offers": {"id": SOME_ID, "code": "A", "step": "note", "on": "2026-01-05"},
    "/api/meetings": {"case_id": SOME_ID, "hours": 1},
}
"""What each address that is posted to takes."""


@pytest.mark.parametrize("viewer", [Viewer.PUBLIC, Viewer.AGENCY])
def test_what_is_worked_on_is_for_the_lead_alone(seeded: Seeded, viewer: Viewer) -> None:
    """Whatever starts, shows or stops work, writes, or tells of the register, its cases and offers
    refuses everyone else, in words that tell nothing."""
    paths = seeded.client.get("/api/openapi.json").json()["paths"]
    closed = {
        (method, path)
        for path, methods in paths.items()
        for method, described in methods.items()
        if "/links" not in path  # there are none without accounts
        and not path.startswith(MEETING)
        and described["x-least-role"] in ("viewer", "scientist", "lead")
        and (method != "get" or path.startswith(CLOSED))
    }
    assert {path for method, path in closed if method == "post"} == set(BODIES)
    ids = {"work_id": "x", "edit_id": SOME_ID, "upload_id": SOME_ID, "case_id": seeded.case,
           "meeting_code": "K7RM4P"}  # fmt: skip
    said = set()
    for method, path in closed:
        address = path.format(**ids, table="offtakes", key="A")
        query = f"as={viewer.value}&name=a.gpkg&one={seeded.case}&other={seeded.case}"
        body = BODIES[path] if method == "post" else None
        answer = seeded.client.request(method, f"{address}?{query}", json=body)
        assert answer.status_code == 403, path
        said.add(answer.text)
    assert len(said) == 2  # one sentence about sets, one about the register
    for printed in PRINTED:
        address = printed.format(case=seeded.case, code="A")
        assert seeded.client.get(f"{address}?as={viewer.value}").status_code == 403, printed


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
    client = client_of(view)
    hidden = RANKED | (BY_COST if viewer is Viewer.AGENCY else set()) | {"data_version", "edition"}
    everything = {
        address: client.get(address).text
        for address in addresses(Seeded(view, client, {}), viewer)
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
