"""What notes propose, and what becomes of it: one edit with basis, source and day, or a refusal."""

from __future__ import annotations

from typing import Any

import pytest

from tests.store.field.at_pump import Desk, Phone, a_run, served
from tests.store.said import capacity, cell, check, edit, fresh_id


def proposals(desk: Desk) -> list[dict[str, Any]]:
    """Give what is proposed."""
    return desk.get("proposals")["proposals"]


def accept(desk: Desk, *picks: dict[str, Any], status: int = 200, **more: Any) -> dict[str, Any]:
    """Take notes over."""
    return desk.post("proposals/accept", status, picks=list(picks), **{"id": fresh_id()} | more)


def test_notes_are_taken_over_by_one_edit(url: str, desk: Desk, phone: Phone) -> None:
    """Two values by one edit, measured, of the day and the run; sent twice it is done once."""
    notes = [
        phone.write("0012", "plate_capacity", "27", "ML/d"),
        phone.write("0013", "depth_low", "250", "cm"),
    ]
    desk.send(notes)
    told = proposals(desk)
    assert [(p["column"], p["register"], p["run_name"]) for p in told] == [
        ("capacity_m3s", 0.3, "Lower river"),
        ("intake_depth_m", None, "Lower river"),
    ]
    assert [p["proposed"] for p in told] == pytest.approx([0.3125, 2.5])
    assert [p["ticked"] for p in told] == [True, True]
    assert [(p["note"]["typed"], p["note"]["unit"], p["note"]["by"]) for p in told] == [
        ("27", "ML/d", "kim"),
        ("250", "cm", "kim"),
    ]
    request = fresh_id()
    picks = [{"note_id": p["note"]["id"], "seen": p["register"]} for p in told]
    done = accept(desk, *picks, id=request, why="seen on site", by="Ada")
    assert (done["id"], done["seq"], done["repeated"]) == (request, 2, False)
    again = accept(desk, *picks, id=request, why="seen on site", by="Ada")
    assert again == {**done, "repeated": True, "warnings": []}
    (past, _) = desk.get("edits")["edits"]
    said = {"by": "Ada", "why": "seen on site", "basis": "measured", "kind": "edit",
            "source": "visit, run Lower river", "observed_on": "2026-03-01"}  # fmt: skip
    assert {name: past[name] for name in said} == said
    assert past["change_count"] == 2
    with served(url) as later:
        assert cell(later.working.register, "offtakes", "0012", "capacity_m3s") == pytest.approx(
            0.3125
        )
        assert cell(later.working.register, "offtakes", "0013", "intake_depth_m") == 2.5
        assert proposals(later) == []
        assert len(later.notes(phone.run_id)) == 2
    desk.post(f"edits/{request}/undo", id=fresh_id(), why="another pump's plate")
    assert cell(desk.working.register, "offtakes", "0012", "capacity_m3s") == 0.3
    assert proposals(desk) == []  # dealt with once and for all


def test_either_all_is_taken_over_or_nothing(desk: Desk, phone: Phone) -> None:
    """Where the register moved meanwhile, or would be at fault, no note counts as taken over."""
    note = phone.write("0012", "plate_capacity", "27", "ML/d")
    power = phone.write("0013", "power", "yes")
    desk.send([note, power])
    desk.working.register.apply(edit(capacity(0.3, 0.35), by="First"), check)
    picks = [{"note_id": note["id"], "seen": 0.3}, {"note_id": power["id"]}]
    answer = accept(desk, *picks, status=409)
    (conflict,) = answer["error"]["conflicts"]
    assert (conflict["seen"], conflict["now"], conflict["by"]) == (0.3, 0.35, "First")
    faulty = accept(
        desk, {"note_id": note["id"], "value": -1}, {"note_id": power["id"]}, status=422
    )
    assert faulty["error"]["findings"][0]["column"] == "capacity_m3s"
    assert len(proposals(desk)) == 2
    assert cell(desk.working.register, "offtakes", "0013", "power") is None
    told = next(p for p in proposals(desk) if p["column"] == "capacity_m3s")
    assert (told["register"], told["register_by"]) == (0.35, "First")
    accept(desk, {"note_id": note["id"]}, {"note_id": power["id"]})
    assert proposals(desk) == []


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_changed_value_keeps_the_note_and_is_said(desk: Desk, phone: Phone) -> None:
    """The register has what the lead gave, the reason says what the note says, which stays."""
    note = phone.write("0012", "plate_capacity", "27", "ML/d")
    desk.send([note])
    accept(desk, {"note_id": note["id"], "value": 0.31}, why="worn impeller")
    assert cell(desk.working.register, "offtakes", "0012", "capacity_m3s") == 0.31
    (past, _) = desk.get("edits")["edits"]
    assert past["why"].startswith("worn impeller; ")
    for each in ("0012 capacity_m3s as 0.31", '"27" ML/d'):
        assert each in past["why"]
    assert desk.notes(phone.run_id)[0]["typed"] == "27"


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_refusal_is_kept_with_its_reason(desk: Desk, phone: Phone) -> None:
    """Refused once, sent twice: nothing changes in the register, and it is proposed no more."""
    note = phone.write("0012", "plate_capacity", "27", "ML/d")
    desk.send([note])
    before = desk.working.register.standing()
    asked = {"id": fresh_id(), "note_ids": [note["id"]], "why": "another pump's plate", "by": "Ada"}
    assert desk.post("proposals/refuse", **asked)["repeated"] is False
    assert desk.post("proposals/refuse", **asked)["repeated"] is True
    assert proposals(desk) == []
    assert desk.working.register.standing() == before
    (settled,) = desk.book.settlements()
    (told,) = desk.get("notes", run=phone.run_id)["settled"]
    assert (told["note_id"], told["outcome"]) == (note["id"], "refused")
    assert (settled.outcome, settled.by, settled.why) == ("refused", "Ada", "another pump's plate")
    accept(desk, {"note_id": note["id"]}, status=409)
    later = phone.write("0012", "plate_capacity", "26", "ML/d")
    desk.send([later])
    assert [p["note"]["id"] for p in proposals(desk)] == [later["id"]]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_only_what_differs_and_has_a_column_is_proposed(desk: Desk, phone: Phone) -> None:
    """What the register says already, what is taken back, and mere remarks propose nothing."""
    phone.write("0012", "plate_capacity", "25.92", "ML/d")  # 0.3 m3/s, as it stands
    phone.write("0012", "kind", "fixed_suction")
    phone.write("0012", "power", "no")  # what a blank cell means
    phone.write("0012", "fitted", "none")
    phone.write("0012", "depth_today", "1.9", "m")
    phone.write("0012", "gauge_reading", "Fen 1.24 m")
    phone.write("0012", "running", "locked out")
    phone.write("0012", "remark", "nothing odd")
    phone.write("0012", "access", "poor")
    phone.write("0012", "access", "")  # taken back
    desk.send(phone.outbox)
    assert proposals(desk) == []


@pytest.mark.parametrize("kind", ["sqlite"])
def test_depth_today_stands_beside_the_low_depth(desk: Desk, phone: Phone) -> None:
    """It proposes nothing alone; beside the depth at low level it is told with its gauge."""
    today = phone.write("0012", "depth_today", "6.5", "ft")
    gauge = phone.write("0012", "gauge_reading", "Fen 1.24 m")
    desk.send([today, gauge])
    assert proposals(desk) == []
    low = phone.write("0012", "depth_low", "1.4", "m")
    desk.send([low])
    (told,) = proposals(desk)
    assert told["note"]["id"] == low["id"]
    assert [each["id"] for each in told["beside"]] == [today["id"], gauge["id"]]
    assert told["beside"][0]["value"] == pytest.approx(6.5 * 0.3048)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_words_become_what_the_register_holds(desk: Desk, phone: Phone) -> None:
    """Consent proposes ``willing`` with a warning; a position in words waits for a number."""
    phone.write("0012", "consent", "yes")
    phone.write("0012", "position_words", "bed")
    phone.write("0013", "consent", "ask again")  # unknown, as a blank cell means
    phone.write("0013", "fitted", "a sieve of his own")
    desk.send(phone.outbox)
    position, consent, fitted = proposals(desk)
    assert (consent["column"], consent["proposed"]) == ("willing", "yes")
    assert "not yet consent to a screen" in consent["words"]
    assert [each["ticked"] for each in (position, consent, fitted)] == [False] * 3
    assert "between 0.5 and 2 here" in position["words"]
    assert "below 1, but only where that was measured" in position["words"]
    assert (position["column"], position["proposed"], fitted["proposed"]) == (
        "position",
        None,
        None,
    )
    accept(desk, {"note_id": position["note"]["id"]}, status=400)
    accept(
        desk,
        {"note_id": position["note"]["id"], "value": 1.2},
        {"note_id": consent["note"]["id"]},
        {"note_id": fitted["note"]["id"], "value": "cone"},
    )
    register = desk.working.register
    assert cell(register, "offtakes", "0012", "position") == 1.2
    assert cell(register, "offtakes", "0012", "willing") == "yes"
    assert cell(register, "offtakes", "0013", "fitted") == "cone"
    (past, _) = desk.get("edits")["edits"]
    assert '0012 position as 1.2, where the note says "bed"' in past["why"]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_number_far_off_is_not_ticked_and_says_so(desk: Desk, phone: Phone) -> None:
    """Three times off either way is still believed, more is not; nor is a depth below 30 m."""
    phone.write("0012", "plate_capacity", "0.9", "m3/s")  # 0.3 stands there
    phone.write("0013", "depth_low", "30.5", "m")
    desk.send(phone.outbox)
    plate, deep = proposals(desk)
    assert (plate["ticked"], plate["words"]) == (True, "")
    assert deep["ticked"] is False
    assert "deeper than 30 m" in deep["words"]
    for typed in ("0.91", "0.0999"):
        desk.send([phone.write("0012", "plate_capacity", typed, "m3/s")])
        plate = proposals(desk)[0]
        assert plate["ticked"] is False
        assert "more than 3 times off" in plate["words"]
    accept(desk, {"note_id": plate["note"]["id"]})  # a lead may still take it over


@pytest.mark.parametrize("kind", ["sqlite"])
def test_the_share_by_night_is_measured_in_percent(desk: Desk, phone: Phone) -> None:
    """It proposes the column the model reads, as a share; more than all of it is refused."""
    note = phone.write("0013", "night_share", "80", "%")
    assert desk.send([note])["refused"] == []
    (refused,) = desk.send([phone.write("0013", "night_share", "101", "%")])["refused"]
    assert "at most 100 %" in refused["why"]
    (told,) = proposals(desk)
    assert (told["column"], told["proposed"]) == ("night_use_share", 0.8)
    accept(desk, {"note_id": note["id"]})
    assert cell(desk.working.register, "offtakes", "0013", "night_use_share") == 0.8


@pytest.mark.parametrize("kind", ["sqlite"])
def test_what_has_no_column_reaches_the_desk_too(desk: Desk, phone: Phone) -> None:
    """No way in, hazards, remarks, today's depth: by site, as typed, the newest; no photo."""
    phone.write("0013", "no_entry", "gate locked")
    phone.write("0012", "remark", "nothing odd")
    phone.write("0012", "depth_today", "1.8", "m")
    phone.write("0012", "depth_today", "1.9", "m")
    phone.write("0012", "hazards", "dogs")
    phone.write("0012", "hazards", "")  # taken back
    phone.write("0012", "photo", "plate")
    desk.send(phone.outbox)
    told = [
        (each["note"]["code"], each["label"], each["note"]["typed"], each["note"]["unit"],
         each["note"]["by"], each["run_name"])
        for each in desk.get("proposals")["said"]
    ]  # fmt: skip
    assert told == [
        ("0012", "Water depth at the intake today", "1.9", "m", "kim", "Lower river"),
        ("0012", "Remark", "nothing odd", "", "kim", "Lower river"),
        ("0013", "Could not get in", "gate locked", "", "kim", "Lower river"),
    ]
    desk.send([phone.write("0012", "depth_low", "1.4", "m")])
    said = [each["note"]["field"] for each in desk.get("proposals")["said"]]
    assert said == ["remark", "no_entry"]  # the depth stands beside the one at low level


@pytest.mark.parametrize("kind", ["sqlite"])
def test_what_is_not_proposed_cannot_be_taken_over(desk: Desk, phone: Phone) -> None:
    """An older note, a contradicted one, one named twice, one nobody wrote: nothing moves."""
    old = phone.write("0012", "plate_capacity", "27", "ML/d")
    new = phone.write("0012", "plate_capacity", "28", "ML/d")
    mine = phone.write("0013", "access", "poor")
    theirs = Phone(phone.run_id, by="lee").write("0013", "access", "good")
    desk.send([old, new, mine, theirs])
    before = desk.working.register.standing()
    for picks, status in (
        ([{"note_id": old["id"]}], 409),
        ([{"note_id": mine["id"]}], 409),
        ([{"note_id": new["id"]}] * 2, 400),
        ([{"note_id": fresh_id()}], 404),
        ([{"note_id": new["id"], "value": 0.3}], 400),  # nothing would change
        ([{"note_id": new["id"], "value": True}], 400),
        ([{"note_id": new["id"], "value": [0.3]}], 400),
        ([{"note_id": new["id"], "value": 10**400}], 400),
        ([], 400),
    ):
        accept(desk, *picks, status=status)
    assert desk.working.register.standing() == before
    assert desk.book.settlements() == []


@pytest.mark.parametrize("kind", ["sqlite"])
def test_an_asking_is_for_what_it_was_for(desk: Desk, phone: Phone) -> None:
    """The id of one acceptance does not serve another, nor a refusal."""
    one, two = phone.write("0012", "access", "poor"), phone.write("0013", "access", "poor")
    desk.send([one, two])
    request = fresh_id()
    accept(desk, {"note_id": one["id"]}, id=request)
    accept(desk, {"note_id": two["id"]}, id=request, status=409)
    desk.post("proposals/refuse", 409, id=request, note_ids=[one["id"]], why="no")
    assert [p["note"]["id"] for p in proposals(desk)] == [two["id"]]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_the_day_is_never_after_a_note_came_in(desk: Desk, phone: Phone) -> None:
    """A phone whose clock is a year ahead saw it at the latest today; several days are told."""
    ahead = phone.write("0012", "access", "poor", at="2099-01-01T00:00:00+00:00")
    other = Phone(desk.book.put_run(a_run("0013", name="Upper river")).id).write(
        "0013", "access", "poor"
    )
    desk.send([ahead, other])
    accept(desk, {"note_id": ahead["id"]}, {"note_id": other["id"]})
    (past, _) = desk.get("edits")["edits"]
    received = desk.book.notes_by_id([ahead["id"]])[ahead["id"]].received_at
    assert past["observed_on"] == received[:10]
    assert past["source"] == "visit, run Lower river, Upper river"
    assert f"seen from 2026-03-01 to {received[:10]}" in past["why"]
