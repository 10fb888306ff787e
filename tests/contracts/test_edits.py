"""Edits through the web door: kept once, with their reason, against what was seen; undone."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.api.bodies import Bounded
from slackwater.desk.showing import AsRead
from tests.contracts.at_work import HERE, Bench, bench, change, new_id
from tests.contracts.small_view import small_view

NAN = float("nan")


@pytest.fixture
def at(tmp_path: Path) -> Iterator[Bench]:
    with bench(tmp_path) as made:
        yield made


def test_an_edit_is_kept_with_all_that_was_said_of_it(at: Bench) -> None:
    """The cell holds the new value and the history says who, when, old, new, why and from where."""
    said = {"why": "read off the plate", "by": "A. Person", "basis": "measured",
            "source": "visit 12", "observed_on": "2026-01-05"}  # fmt: skip
    done = at.edit(change("capacity_m3s", 0.2, 0.25), **said)
    assert (done["seq"], done["revision"], done["repeated"]) == (2, 2, False)
    assert done["data_version"] == at.register.standing().data_version
    assert at.cell("capacity_m3s") == 0.25
    (past,) = at.get("edits", table="offtakes", key="A")["edits"]
    assert {name: past[name] for name in said} == said
    assert past["changes"] == [change("capacity_m3s", 0.2, 0.25)]
    assert (past["kind"], past["undone_by"], past["at"]) == ("edit", "", done["at"])
    last = at.get("rows/offtakes/A")["last"]
    assert last == {
        "capacity_m3s": {
            "at": done["at"], "by": "A. Person", "why": "read off the plate",
            "basis": "measured", "source": "visit 12",
        }
    }  # fmt: skip


def test_an_edit_sent_again_is_done_once(at: Bench) -> None:
    """The same id and content is a repeat that writes nothing; other content is refused."""
    asked = {"id": new_id(), "why": "once", "changes": [change("capacity_m3s", 0.2, 0.25)]}
    first = at.post("edits", **asked)
    before = at.standing()
    again = at.post("edits", **asked)
    assert again["repeated"] is True
    assert (again["seq"], again["at"], again["id"]) == (first["seq"], first["at"], first["id"])
    other = at.post("edits", 400, **{**asked, "changes": [change("capacity_m3s", 0.25, 0.3)]})
    assert other["error"]["code"] == "usage_error"
    assert at.standing() == before


def test_many_who_send_the_same_edit_at_once_do_it_once(at: Bench) -> None:
    """Eight at a time with one id: one writes, seven are told it was there."""
    asked = {"id": new_id(), "why": "once", "changes": [change("capacity_m3s", 0.2, 0.25)]}
    told: list[dict[str, Any]] = []
    senders = [
        threading.Thread(target=lambda: told.append(at.post("edits", **asked))) for _ in range(8)
    ]
    for each in senders:
        each.start()
    for each in senders:
        each.join()
    assert sorted(each["repeated"] for each in told) == [False] + [True] * 7
    assert at.standing()[0] == 2


def test_who_comes_second_is_told_both_values(at: Bench) -> None:
    """409 names the cell, what was seen, what stands, who wrote it and when; nothing is written."""
    first = at.edit(change("capacity_m3s", 0.2, 0.25), by="First")
    before = at.standing()
    answer = at.edit(
        change("wear_cost_year", 100.0, 120.0), change("capacity_m3s", 0.2, 0.3), status=409
    )
    assert answer["error"]["code"] == "edit_conflict"
    assert answer["error"]["conflicts"] == [
        {"table": "offtakes", "key": "A", "column": "capacity_m3s", "seen": 0.2, "now": 0.25,
         "by": "First", "at": first["at"]}
    ]  # fmt: skip
    assert at.standing() == before
    assert at.cell("wear_cost_year") == 100.0


def test_of_many_who_edit_one_cell_at_once_one_wins(at: Bench) -> None:
    """Each saw the same value; one is kept, every other is a conflict naming the winner's."""
    answers: list[Any] = []

    def send(n: int) -> None:
        asked = {"id": new_id(), "why": f"{n}", "changes": [change("capacity_m3s", 0.2, 0.3 + n)]}
        answers.append((n, at.client.post("/api/edits", json=asked)))

    senders = [threading.Thread(target=send, args=(n,)) for n in range(6)]
    for each in senders:
        each.start()
    for each in senders:
        each.join()
    won = [n for n, answer in answers if answer.status_code == 200]
    assert len(won) == 1
    lost = [answer for _, answer in answers if answer.status_code == 409]
    assert len(lost) == 5
    assert {a.json()["error"]["conflicts"][0]["now"] for a in lost} == {0.3 + won[0]}
    assert at.cell("capacity_m3s") == 0.3 + won[0]


@pytest.mark.parametrize(
    ("given", "code"),
    [
        (change("capacity_m3s", 0.2, -1), "negative"),
        (change("capacity_m3s", 0.2, "a lot"), "not_a_number"),
        (change("capacity_m3s", 0.2, None), "empty_cell"),
        (change("capacity_m3s", 0.2, ""), "empty_cell"),
        (change("use_01", 0.9, 1.5), "out_of_range"),
        (change("kind", "rail_suction", "siphon"), "unknown_word"),
        (change("observed_on", "2020-05-01", "last May"), "bad_date"),
        (change("reach_id", "up", "nowhere"), "dangling_key"),
        (change("chainage_m", 2000.0, 9e6), "chainage_beyond"),
        (change("label", "Pump A", "two\nlines"), "control_character"),
        (change("label", "Pump A", "long " * 3000), "too_long"),
        (change("geometry", [10.02, 50.015], [11.0, 51.0]), "far_from_reach"),
        (change("capacity_m3s", 0.2, 10**400), "not_finite"),
    ],
)
def test_an_edit_that_brings_a_fault_is_refused_by_name(
    at: Bench, given: dict[str, Any], code: str
) -> None:
    """422 names table, row, key, column, value and remedy; nothing is written."""
    before = at.standing()
    answer = at.edit(given, status=422)
    assert answer["error"]["code"] == "input_faults"
    (found,) = answer["error"]["findings"]
    assert (found["table"], found["key"], found["code"]) == ("offtakes", "A", code)
    assert found["row"] == 1
    assert found["column"] in (given["column"], "reach_id")
    assert found["remedy"]
    assert at.standing() == before


@pytest.mark.parametrize(
    "asked",
    [
        {"why": ""},
        {"why": " \n"},
        {"why": "a\x00b"},
        {"why": "w" * 2001},
        {"id": "1"},
        {"id": "0f8fad5b-d9cb-469f-a165"},
        {"changes": []},
        {"by": " "},
        {"basis": "guessed"},
        {"observed_on": "yesterday"},
        {"observed_on": "2026-02-31"},
        {"undoes": "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20"},
        {"kind": "import"},
        {"changes": [change("no_such_column", None, 1)]},
        {"changes": [change("label", "Pump A", ["a", "list"])]},
        {"changes": [change("label", "Pump A", {"a": "thing"})]},
        {"changes": [change("power", "yes", True)]},
        {"changes": [change("label", "Pump A", "nul \x00")]},
        {"changes": [change("label", "x", "y", key="nobody")]},
        {"changes": [change("label", "x", "y", table="no_such_table")]},
        {"changes": [change("geometry", [10.02, 50.015], "here")]},
        {"changes": [change("geometry", [10.02, 50.015], [1, 2, 3, 4])]},
        {"changes": [change("geometry", [10.02, 50.015], {"type": "Point"})]},
        {"changes": [change("", None, None)]},
        {"changes": [change("", None, {"offtake_id": "N", "no_such_column": 1}, key="N")]},
    ],
    ids=str,
)
def test_what_is_no_edit_is_refused(at: Bench, asked: dict[str, Any]) -> None:
    """400 in the one shape of errors; nothing is written."""
    before = at.standing()
    body = {"id": new_id(), "why": "w", "changes": [change("label", "Pump A", "P")], **asked}
    answer = at.post("edits", 400, **body)
    assert answer["error"]["code"] in ("bad_request", "usage_error")
    assert answer["error"]["message"]
    assert at.standing() == before


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_numbers_are_finite_or_refused(at: Bench, number: str) -> None:
    """What JSON readers take for a number but is none is refused, as old value too."""
    before = at.standing()
    for value in (
        f'"old": {number}, "new": 1',
        f'"old": 0.2, "new": {number}',
        f'"old": 0.2, "new": [[{number}]]',
        f'"old": null, "new": {{"a": {number}}}',
    ):
        body = (
            f'{{"id": "{new_id()}", "why": "w", "changes": '
            f'[{{"table": "offtakes", "key": "A", "column": "capacity_m3s", {value}}}]}}'
        )
        answer = at.client.post("/api/edits", content=body)
        assert answer.status_code == 400, answer.text
    assert at.standing() == before


@pytest.mark.parametrize("text", ["\\ud800", "\\u0000", "\\u001b"])
def test_texts_no_file_can_hold_are_refused(at: Bench, text: str) -> None:
    """Half a surrogate pair, NUL and escapes, as JSON writes them: 400, wherever they stand."""
    before = at.standing()
    for part in ("why", "source", "key", "old", "new"):
        cell = {"table": '"offtakes"', "key": '"A"', "column": '"label"', "old": '"Pump A"',
                "new": '"P"'}  # fmt: skip
        said = {"id": f'"{new_id()}"', "why": '"w"', "source": '"s"'}
        (cell if part in cell else said)[part] = f'"a{text}b"'
        change_text = ", ".join(f'"{name}": {value}' for name, value in cell.items())
        body = ", ".join(f'"{name}": {value}' for name, value in said.items())
        answer = at.client.post("/api/edits", content=f'{{{body}, "changes": [{{{change_text}}}]}}')
        assert answer.status_code == 400, (part, answer.text)
    assert at.standing() == before


@pytest.mark.parametrize("body", ["", "{", "[]", "null", "[" * 100_000, '{"id": 1' + "0" * 5000])
def test_what_is_no_json_is_refused(at: Bench, body: str) -> None:
    """Half a body, no object, endless nesting: 400, and the service goes on."""
    answer = at.client.post("/api/edits", content=body)
    assert answer.status_code == 400
    assert answer.json()["error"]["message"]
    assert at.get("rows/offtakes/A")


def test_a_dry_run_says_what_would_come_and_writes_nothing(at: Bench) -> None:
    """The same checks and the same data version as the edit itself; conflicts and faults too."""
    before = at.standing()
    asked = {"id": new_id(), "why": "w", "changes": [change("capacity_m3s", 0.2, 5.0)]}
    dry = at.post("edits", **asked, dry_run=True)
    assert (dry["seq"], dry["repeated"]) == (None, False)
    assert at.standing() == before
    assert at.edit(change("capacity_m3s", 9.0, 1.0), dry_run=True, status=409)
    assert at.edit(change("capacity_m3s", 0.2, -1.0), dry_run=True, status=422)
    assert at.standing() == before
    done = at.post("edits", **asked)
    assert done["data_version"] == dry["data_version"] != before[1]
    assert done["warnings"] == dry["warnings"]


def test_warnings_are_those_of_the_rows_touched(at: Bench) -> None:
    """A capacity far above its reach's flow is kept, and said to be odd."""
    done = at.edit(change("capacity_m3s", 0.2, 5.0))
    assert {(each["table"], each["key"]) for each in done["warnings"]} == {("offtakes", "A")}
    assert "capacity_m3s" in {each["column"] for each in done["warnings"]}
    assert at.edit(change("label", "Pump B", "Second pump", key="B"))["warnings"] == []


def test_blank_may_be_given_as_null_or_as_an_empty_text(at: Bench) -> None:
    """Both see a blank cell, and both blank it: the default then holds again."""
    at.edit(change("position", 1.0, ""))
    assert at.cell("position") is None
    assert at.get("rows/offtakes/A")["understood"]["position"] == 1.0
    at.edit(change("position", "", 1.3))
    at.edit(change("position", 1.3, None))
    assert at.cell("position") is None


def test_a_row_is_added_and_removed_whole(at: Bench) -> None:
    """A new offtake stands with its place; taken away again, the data version is the old one."""
    before = at.standing()
    row = {"offtake_id": "D", "kind": "rail_suction", "capacity_m3s": 0.1, "use_01": 0.5,
           "geometry": [10.021, 50.0149]}  # fmt: skip
    at.edit(change("", None, row, key="D"))
    shown = at.get("rows/offtakes/D")
    assert (shown["cells"]["geometry"], shown["understood"]["reach_id"]) == (
        [10.021, 50.0149],
        "up",
    )
    assert shown["last"]["kind"]["why"] == "a reason"
    at.settled()
    assert at.get("offtakes")["offtake_id"] == ["A", "B", "C", "D"]
    filled = {name: cell for name, cell in shown["cells"].items() if cell is not None}
    at.edit(change("", filled, None, key="D"))
    assert at.standing()[1] == before[1]
    assert at.get("rows/offtakes/D", 404)["error"]["code"] == "not_here"


def test_a_row_that_others_name_cannot_be_removed(at: Bench) -> None:
    """Every row left without its reach is named."""
    cells = at.get("rows/gauges/G2")["cells"]
    filled = {name: cell for name, cell in cells.items() if cell is not None}
    answer = at.edit(change("", filled, None, key="G2", table="gauges"), status=422)
    told = {(each["table"], each["code"]) for each in answer["error"]["findings"]}
    assert ("reaches", "dangling_key") in told


@pytest.mark.parametrize("served", ["file", "database"])
def test_a_body_that_is_too_large_is_refused(at: Bench, served: str) -> None:
    """413 in the one shape, whether its length is said or comes in pieces; nothing is written."""
    read = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    client = read if served == "file" else at.client
    path = "/api/best-set" if served == "file" else "/api/edits"
    before = at.standing()
    pieces = [b"x" * 100_000] * 50
    for content in (b"".join(pieces), iter(pieces)):
        answer = client.post(path, content=content)
        assert answer.status_code == 413
        assert answer.json()["error"]["code"] == "too_large"
        assert answer.headers["x-content-type-options"] == "nosniff"
    assert at.standing() == before


def test_a_body_up_to_the_limit_passes() -> None:
    """The bound is the bound: one byte more is refused, the same is not."""
    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import PlainTextResponse
    from starlette.routing import Route

    async def length(request: Request) -> PlainTextResponse:
        return PlainTextResponse(str(len(await request.body())))

    app = Starlette(routes=[Route("/", length, methods=["POST"])])
    client = TestClient(Bounded(app, most_bytes=1000), base_url=HERE)
    assert client.post("/", content=b"x" * 1000).text == "1000"
    assert client.post("/", content=iter([b"x" * 500] * 2)).text == "1000"
    assert client.post("/", content=b"x" * 1001).status_code == 413
    assert client.post("/", content=iter([b"x" * 501] * 2)).status_code == 413


def test_a_foreign_page_edits_nothing(at: Bench) -> None:
    """A request that another page sends by itself is refused before it is read."""
    before = at.standing()
    for origin in ("http://evil.example", "null"):
        asked = {"id": new_id(), "why": "w", "changes": [change("label", "Pump A", "P")]}
        answer = at.client.post("/api/edits", json=asked, headers={"Origin": origin})
        assert answer.status_code == 403
    assert at.standing() == before
