"""The register for a scientist, shared cases for the agency, and whose name is written down."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from slackwater.errors import Finding, InputFaults
from slackwater.people.roles import BIOLOGY, Role
from tests.contracts.roles_served import BUDGET, RolesServed, roles_served
from tests.contracts.small_register import new_id
from tests.contracts.sound_files import sound_file
from tests.contracts.with_accounts import Browser

OTHERS = ("offtakes", "reaches", "prices", "catchment", "none")
SECRET = "the holder of A wants it quiet"


@pytest.fixture
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RolesServed]:
    with roles_served(tmp_path_factory.mktemp("register")) as served:
        yield served


def change(table: str, key: str, column: str, old: Any, new: Any) -> dict[str, Any]:
    return {"table": table, "key": key, "column": column, "old": old, "new": new}


def cell(lead: Browser, table: str, key: str, column: str) -> Any:
    return lead.get(f"/api/rows/{table}/{key}").json()["cells"][column]


def sent(browser: Browser, *changes: dict[str, Any], **more: Any) -> Any:
    body = {"id": new_id(), "changes": changes, "why": "read again", "by": "somebody else", **more}
    return browser.post("/api/edits", json=body)


def fish(lead: Browser, new: str, key: str = "perch") -> dict[str, Any]:
    """Give a change of a guild's name."""
    return change("guilds", key, "name", cell(lead, "guilds", key, "name"), new)


def pump(lead: Browser, new: str) -> dict[str, Any]:
    """Give a change of an offtake's label."""
    return change("offtakes", "A", "label", cell(lead, "offtakes", "A", "label"), new)


def test_a_scientist_edits_the_biology_alone(service: RolesServed) -> None:
    """A change of any other table refuses the whole edit, and says which table it was."""
    lead, scientist = service.caller(Role.LEAD), service.caller(Role.SCIENTIST)
    assert sent(scientist, fish(lead, "Perch I")).status_code == 200
    for dry_run in (True, False):
        mixed = sent(scientist, fish(lead, "Perch II"), pump(lead, "moved"), dry_run=dry_run)
        assert (mixed.status_code, mixed.json()["error"]["code"]) == (403, "not_allowed")
        assert "offtakes" in mixed.json()["error"]["message"]
    assert cell(lead, "guilds", "perch", "name") == "Perch I"
    assert cell(lead, "offtakes", "A", "label") != "moved"
    settings = change("catchment", "", "toml", "a", "b")
    assert sent(scientist, settings).status_code == 403


@pytest.mark.parametrize("table", OTHERS)
def test_a_scientist_reads_no_row_and_no_history_of_another_table(
    service: RolesServed, table: str
) -> None:
    """Neither rows, nor what is pasted there, nor who changed them."""
    scientist = service.caller(Role.SCIENTIST)
    for answer in (
        scientist.get(f"/api/rows/{table}/A"),
        scientist.get(f"/api/edits?table={table}"),
        scientist.get(f"/api/edits?table={table}&key=A"),
        scientist.post("/api/paste", json={"table": table, "text": "offtake_id\nA"}),
    ):
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "not_allowed")


@pytest.mark.parametrize("table", sorted(BIOLOGY))
def test_a_scientist_reads_and_pastes_rows_of_the_four_tables(
    service: RolesServed, table: str
) -> None:
    """Each of them opens."""
    scientist = service.caller(Role.SCIENTIST)
    assert scientist.get(f"/api/edits?table={table}").status_code == 200
    assert scientist.get(f"/api/rows/{table}/no-such-row").status_code == 404
    pasted = scientist.post("/api/paste", json={"table": table, "text": "a\n1"})
    assert pasted.json()["error"]["code"] in ("usage_error", "bad_request")
    assert pasted.status_code == 400


def test_the_history_for_a_scientist_holds_their_tables_alone(service: RolesServed) -> None:
    """Edits of other tables are not in it; of one that touched both, the other's changes and the
    words said of it are left out. The lead reads all of it."""
    lead, scientist = service.caller(Role.LEAD), service.caller(Role.SCIENTIST)
    said = {"why": SECRET, "source": f"{SECRET} source", "basis": "measured"}
    assert sent(lead, pump(lead, "Pump of the mill"), **said).status_code == 200
    assert sent(lead, fish(lead, "Perch I"), pump(lead, "Quiet pump"), **said).status_code == 200
    assert sent(lead, fish(lead, "Perch II"), why="a better name").status_code == 200
    all_edits, own = (each.get("/api/edits").json()["edits"] for each in (lead, scientist))
    assert len(all_edits) == 4
    assert [each["seq"] for each in own] == [4, 3, 1]
    assert own[0]["why"] == "a better name"
    assert (own[1]["why"], own[1]["source"], own[1]["basis"]) == ("", "", "")
    assert {change["table"] for edit in own for change in edit["changes"]} <= BIOLOGY
    row = scientist.get("/api/rows/guilds/perch").json()["last"]["name"]
    assert (row["why"], row["by"]) == ("a better name", "lead person")
    for told in (scientist.get("/api/edits"), scientist.get("/api/edits?table=guilds"),
                 scientist.get("/api/rows/guilds/perch")):  # fmt: skip
        assert SECRET not in told.text
        assert "Quiet pump" not in told.text
    assert SECRET in lead.get("/api/edits").text


def test_a_scientist_sees_no_words_of_a_mixed_edit_at_a_row(service: RolesServed) -> None:
    """Who wrote a cell last, and when, but not what was said of the whole."""
    lead, scientist = service.caller(Role.LEAD), service.caller(Role.SCIENTIST)
    assert sent(lead, fish(lead, "Perch I"), pump(lead, "Quiet"), why=SECRET).status_code == 200
    last = scientist.get("/api/rows/guilds/perch").json()["last"]["name"]
    assert (last["by"], last["why"]) == ("lead person", "")
    assert lead.get("/api/rows/guilds/perch").json()["last"]["name"]["why"] == SECRET


def test_a_scientist_undoes_what_touched_their_tables_alone(service: RolesServed) -> None:
    """Anybody's edit of the biology; none that touched another table."""
    lead, scientist = service.caller(Role.LEAD), service.caller(Role.SCIENTIST)
    mixed = sent(lead, fish(lead, "Perch I"), pump(lead, "Quiet")).json()["id"]
    own = sent(lead, fish(lead, "Perch II")).json()["id"]
    body = {"id": new_id(), "why": "it was right before", "by": "another"}
    refused = scientist.post(f"/api/edits/{mixed}/undo", json=body)
    assert refused.status_code == 403
    assert "offtakes" in refused.json()["error"]["message"]
    assert scientist.post(f"/api/edits/{own}/undo", json=body).status_code == 200
    assert cell(lead, "guilds", "perch", "name") == "Perch I"
    assert scientist.post(f"/api/edits/{new_id()}/undo", json=body).status_code == 404


def test_a_fault_in_another_table_is_told_without_its_rows(
    service: RolesServed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Should a change of the biology put a landholder's row at fault: the lead learns whose, a
    scientist that it does, and in which table; faults of their own tables they read in full."""
    private = Finding("offtakes", 3, "A", "landholder", "Holder 1", "odd", "not Holder 1")
    own = Finding("guilds", 2, "perch", "weight", "-1", "below", "at least 0")

    def refuse(*_: Any, **__: Any) -> None:
        raise InputFaults([private, own])

    lead, scientist = service.caller(Role.LEAD), service.caller(Role.SCIENTIST)
    perch = fish(lead, "Perch I")
    monkeypatch.setattr("slackwater.desk.register_for.make_edit", refuse)
    known, seen = sent(lead, perch), sent(scientist, perch)
    assert known.status_code == seen.status_code == 422
    assert "Holder 1" in known.text
    assert "Holder 1" not in seen.text
    told, of_own = seen.json()["error"]["findings"]
    assert (told["table"], told["row"], told["key"], told["code"]) == ("offtakes", None, "", "odd")
    assert of_own == own.as_dict()


def test_what_could_not_be_worked_out_is_told_to_the_lead_in_full(
    service: RolesServed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its words may hold a landholder's value; a scientist learns only that it was so."""
    news = {**service.working.news(), "failure": SECRET}
    monkeypatch.setattr(service.working, "news", lambda: news)
    lead = service.caller(Role.LEAD).get("/api/edition").json()
    scientist = service.caller(Role.SCIENTIST).get("/api/edition")
    assert lead["failure"] == SECRET
    assert SECRET not in scientist.text
    assert scientist.json()["failure"].startswith("The newest data could not be worked out")


def test_all_that_is_done_bears_the_account_s_name(service: RolesServed) -> None:
    """Edit, undo, case and offer, whoever the request says it was: not to be repudiated (OWASP ASVS
    4.0.3, 7.2)."""
    lead = service.caller(Role.LEAD)
    edit = sent(lead, fish(lead, "Perch I")).json()["id"]
    undone = {"id": new_id(), "why": "no", "by": "somebody else"}
    assert lead.post(f"/api/edits/{edit}/undo", json=undone).status_code == 200
    assert [each["by"] for each in lead.get("/api/edits?limit=2").json()["edits"]] == (
        ["lead person"] * 2
    )
    case = service.case(lead, shared=False)
    assert lead.get(f"/api/cases/{case}").json()["by"] == "lead person"
    step = {"id": new_id(), "code": "A", "step": "note", "on": "2026-01-05", "words": "rang",
            "by": "somebody else"}  # fmt: skip
    told = lead.post("/api/offers", json=step).json()["offer"]
    assert told["steps"][-1]["by"] == "lead person"
    program = service.token(Role.LEAD, "all")
    assert sent(program, fish(lead, "Perch III")).status_code == 200
    assert lead.get("/api/edits?limit=1").json()["edits"][0]["by"] == "lead person"


def test_the_agency_lists_and_opens_shared_cases_alone(service: RolesServed) -> None:
    """A viewer reads what a shared case is called and what it spends, not its rows nor its note;
    one that is not shared is not there for them, nor the data it rests on."""
    lead = service.caller(Role.LEAD)
    own, shared = service.case(lead, shared=False), service.case(lead, shared=True)
    for role in (Role.VIEWER, Role.FIELD, Role.SCIENTIST):
        browser = service.caller(role)
        (head,) = browser.get("/api/cases").json()["cases"]
        assert set(head) == {"id", "name", "made_at", "by", "shared_at", "budget", "spent",
                             "count", "data_version", "way"}  # fmt: skip
        assert (head["id"], head["budget"]) == (shared, BUDGET)
        assert browser.get(f"/api/catchment?case={shared}").status_code == 200
        for address in (f"/api/catchment?case={own}", f"/print/fund/{own}",
                        f"/api/catchment?case={new_id()}", f"/print/fund/{new_id()}"):  # fmt: skip
            refused = browser.get(address)
            assert refused.status_code == 404
            assert own not in refused.text
        printed = browser.get(f"/print/fund/{shared}")
        assert printed.status_code == 200
        assert "for us alone" not in printed.text
        assert "for us alone" in lead.get(f"/print/fund/{shared}").text
        assert browser.get(f"/api/cases/{shared}").status_code == 403
    assert {each["id"] for each in lead.get("/api/cases").json()["cases"]} == {own, shared}


def test_the_public_opens_no_case_by_its_id(service: RolesServed) -> None:
    """Also not after the lead looked at it as the public would: nothing kept is given out."""
    with_map = RolesServed(service.working, public_map=True)
    lead, public = with_map.caller(Role.LEAD), with_map.caller(Role.PUBLIC)
    shared = with_map.case(lead, shared=True)
    for what in ("catchment", "offtakes", "losses"):
        address = f"/api/{what}?as=public&case={shared}"
        assert lead.get(address).status_code == 200
        assert public.get(address).status_code == 404
        tag = {"If-None-Match": lead.get(address).headers["etag"]}
        assert public.get(address, headers=tag).status_code == 404


def test_a_file_is_taken_in_under_the_account_s_name(service: RolesServed, tmp_path: Path) -> None:
    """The history says who it was."""
    lead = service.caller(Role.LEAD)
    path = sound_file(tmp_path, "umber.xlsx")
    work = lead.post("/api/uploads?name=umber.xlsx", content=path.read_bytes()).json()
    while work["state"] == "working":
        work = lead.get(f"/api/work/{work['id']}?wait_s=5").json()
    body = {"id": new_id(), "why": "this year's register", "by": "somebody else"}
    taken = lead.post(f"/api/uploads/{work['answer']['upload_id']}/accept", json=body)
    assert taken.status_code == 200, taken.text
    last = lead.get("/api/edits?limit=1").json()["edits"][0]
    assert (last["kind"], last["by"]) == ("import", "lead person")
