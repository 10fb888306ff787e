"""A field officer has the own runs alone: another's run, note or photo is not there, told alike."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.contracts.field_served import Field, field_served
from tests.contracts.small_register import new_id
from tests.contracts.small_view import QUOTE, SECRETS
from tests.files.photos import jpeg
from tests.store.field.at_pump import Phone, a_run

JPEG = {"Content-Type": "image/jpeg"}


@pytest.fixture
def field(tmp_path: Path) -> Iterator[Field]:
    with field_served(tmp_path) as made:
        yield made


def test_another_officers_run_is_not_there(field: Field) -> None:
    """Pack, notes and photos of lee's run answer kim exactly as what never was."""
    note = field.noted("lee", field.lees, "C", "access", "poor")
    photo, never = new_id(), new_id()
    lee, kim = field.browser("lee"), field.browser("kim")
    put = f"/api/photos/{photo}?note={note['id']}"
    assert lee.put(put, content=jpeg(), headers=JPEG).status_code == 200
    for theirs, nothing in (
        (f"/api/runs/{field.lees}/pack", f"/api/runs/{never}/pack"),
        (f"/api/notes?run={field.lees}", f"/api/notes?run={never}"),
        (f"/api/photos/{photo}", f"/api/photos/{never}"),
    ):
        told, blank = kim.get(theirs), kim.get(nothing)
        assert (told.status_code, told.content) == (404, blank.content)
        assert lee.get(theirs).status_code == 200
    other = f"/api/photos/{new_id()}?note="
    told = [kim.put(f"{other}{i}", content=jpeg(), headers=JPEG) for i in (note["id"], never)]
    assert [each.status_code for each in told] == [404, 404]
    assert told[0].content == told[1].content
    body = {"id": new_id(), "pick": note["id"], "note_ids": [note["id"], note["id"]], "why": "so"}
    assert kim.post("/api/notes/choose", json=body).status_code == 404


def test_nobody_writes_into_anothers_run(field: Field) -> None:
    """A note for lee's run is refused as for one that is not there; kim's own beside it is kept."""
    theirs, nowhere, own = (
        Phone(run).write("A", "access", "poor") for run in (field.lees, new_id(), field.kims)
    )
    told = field.browser("kim").post("/api/notes", json={"notes": [theirs, nowhere, own]}).json()
    assert told["kept"] == [own["id"]]
    assert len({each["why"] for each in told["refused"]}) == 1
    (kept,) = field.book.notes()
    assert (kept.id, kept.by) == (own["id"], "kim")


def test_a_note_is_signed_by_whoever_sends_it(field: Field) -> None:
    """Whatever the note says of who wrote it, with accounts it is the account's name."""
    note = Phone(field.kims, by="ada the lead").write("A", "access", "poor")
    assert field.browser("kim").post("/api/notes", json={"notes": [note]}).status_code == 200
    assert [each.by for each in field.book.notes()] == ["kim"]
    again = field.browser("ada").post("/api/notes", json={"notes": [note]}).json()
    assert again["known"] == [note["id"]]  # sent from a file by the lead, it is still that note


def test_two_officers_at_one_pump_are_told_of_each_other(field: Field) -> None:
    """B is a stop of both: lee hears what kim noted; of A, no stop of lee's, lee hears nothing."""
    both = [Phone(field.kims).write(code, "access", "poor") for code in ("A", "B")]
    field.browser("kim").post("/api/notes", json={"notes": both})
    mine = [Phone(field.lees).write(code, "access", "good") for code in ("A", "B")]
    told = field.browser("lee").post("/api/notes", json={"notes": mine}).json()
    assert told["kept"] == [note["id"] for note in mine]
    (conflict,) = told["conflicts"]
    assert (conflict["id"], conflict["other"]["id"]) == (mine[1]["id"], both[1]["id"])
    assert conflict["other"]["by"] == "kim"
    assert both[0]["id"] not in field.browser("lee").get(f"/api/notes?run={field.lees}").text
    contested = field.browser("ada").get("/api/proposals").json()["contested"]
    assert [each["code"] for each in contested] == ["A", "B"]
    ids = [both[0]["id"], mine[0]["id"]]
    choice = {"id": new_id(), "pick": ids[1], "note_ids": ids, "why": "stood there"}
    assert field.browser("lee").post("/api/notes/choose", json=choice).status_code == 404
    ids = [both[1]["id"], mine[1]["id"]]
    choice = {"id": new_id(), "pick": ids[1], "note_ids": ids, "why": "stood there", "by": "x"}
    made = field.browser("lee").post("/api/notes/choose", json=choice)
    assert (made.status_code, made.json()["by"]) == (200, "lee")


def test_a_pack_holds_private_values_of_its_own_stops_alone(field: Field) -> None:
    """Who to ring at B and where its intake is; nothing of C, of quotes and licences."""
    pack = field.browser("kim").get(f"/api/runs/{field.kims}/pack")
    told = pack.json()
    assert [stop["code"] for stop in told["stops"]] == ["A", "B"]
    of_b = told["stops"][1]
    assert of_b["facts"]["contact"] == SECRETS["contact"]
    assert of_b["facts"]["landholder"] == SECRETS["landholder"]
    assert (of_b["lon"], of_b["lat"]) == pytest.approx(_place(field, "B"))
    assert of_b["planned"]["measure"] == [{"input": "draw", "words": "read the plate"}]
    assert of_b["register"]["plate_capacity"]["value"] == pytest.approx(_capacity(field, "B"))
    for secret in (SECRETS["licence"], QUOTE):
        assert secret not in pack.text
    lon, lat = _place(field, "C")
    assert str(lon) not in pack.text or str(lat) not in pack.text
    assert pack.headers["cache-control"] == "no-store"
    for name in ("kim", "vera", "grace", "root"):  # everywhere else a field officer is no lead
        browser = field.browser(name)
        for address in ("/api/offtakes", "/api/offtakes/B", "/api/catchment"):
            assert SECRETS["contact"] not in browser.get(address).text


def test_a_pack_says_how_to_measure_and_what_to_be_careful_of(field: Field) -> None:
    """Every field has a line on how; the water, power and suction cautions are there; notes too."""
    note = field.noted("kim", field.kims, "A", "access", "poor")
    told = field.browser("kim").get(f"/api/runs/{field.kims}/pack").json()
    assert len(told["forms"]) == 17
    assert all(form["how"] and len(form["how"]) < 100 for form in told["forms"])
    plate = told["forms"][0]
    assert (plate["field"], set(plate["units"])) == (
        "plate_capacity",
        {"m3/s", "L/s", "ML/d", "cfs"},
    )
    assert any("drowning" in caution for caution in told["cautions"])
    assert [each["id"] for each in told["stops"][0]["notes"]] == [note["id"]]
    assert told["ground"]["rivers"]["name"]
    assert told["data_version"] == field.working.register.standing().data_version


def test_a_run_whose_officer_is_spelt_otherwise_is_still_theirs(field: Field) -> None:
    """Capitals make no other person, as when signing in; a run of nobody's is the lead's alone."""
    spelt = field.book.put_run(a_run("A", officer="KIM")).id
    nobodys = field.book.put_run(a_run("A", officer="")).id
    kim, ada = field.browser("kim"), field.browser("ada")
    assert kim.get(f"/api/runs/{spelt}/pack").status_code == 200
    assert kim.get(f"/api/runs/{nobodys}/pack").status_code == 404
    assert ada.get(f"/api/runs/{nobodys}/pack").status_code == 200


@pytest.mark.parametrize("name", ["", "vera", "grace", "root"])
def test_others_have_no_part_in_field_work(field: Field, name: str) -> None:
    """Nobody, a viewer, a scientist and an admin are refused at every door of it."""
    browser = field.browser(name) if name else field.service.browser()
    wanted = 403 if name else 401
    for method, address in _doors(field):
        assert browser.request(method, address, json={}).status_code == wanted, address


def test_a_field_officer_takes_nothing_over(field: Field) -> None:
    """Proposals are for the lead: looking, accepting and refusing are refused."""
    browser = field.browser("kim")
    assert browser.get("/api/proposals").status_code == 403
    for what in ("accept", "refuse"):
        assert browser.post(f"/api/proposals/{what}", json={}).status_code == 403


def test_without_the_pages_token_nothing_is_sent(field: Field) -> None:
    """A page of someone else's cannot make a signed-in phone send notes or photos (CSRF)."""
    browser = field.browser("kim")
    del browser.headers["X-Slackwater-Csrf"]
    note = Phone(field.kims).write("A", "access", "poor")
    told = browser.post("/api/notes", json={"notes": [note]})
    assert (told.status_code, told.json()["error"]["code"]) == (403, "csrf")
    put = browser.put(f"/api/photos/{new_id()}?note={note['id']}", content=jpeg(), headers=JPEG)
    assert put.status_code == 403
    assert field.book.notes() == []


def _doors(field: Field) -> list[tuple[str, str]]:
    run, any_id = field.kims, new_id()
    return [
        ("GET", f"/api/runs/{run}/pack"),
        ("POST", "/api/notes"),
        ("GET", f"/api/notes?run={run}"),
        ("POST", "/api/notes/choose"),
        ("PUT", f"/api/photos/{any_id}?note={any_id}"),
        ("GET", f"/api/photos/{any_id}"),
        ("GET", "/api/proposals"),
        ("POST", "/api/proposals/accept"),
        ("POST", "/api/proposals/refuse"),
    ]


def _offtakes(field: Field) -> Any:
    return field.working.newest().opened.catchment.table("offtakes")


def _place(field: Field, code: str) -> tuple[float, float]:
    of = _offtakes(field)
    point = of.geometry[of.index[code]]
    return point.x, point.y


def _capacity(field: Field, code: str) -> float:
    of = _offtakes(field)
    return float(of.number("capacity_m3s")[of.index[code]])
