"""W19 at the server: two phones, one field - both values, who and when; nothing is overwritten."""

from __future__ import annotations

import threading
from typing import Any

import pytest

from tests.store.field.at_pump import Desk, Phone, a_run, served
from tests.store.said import fresh_id

CAPACITY = ("0012", "plate_capacity")


def two_phones(desk: Desk, phone: Phone) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Have two phones say what one plate says; gives both notes, and what the second was told."""
    other = Phone(desk.book.put_run(a_run("0012")).id, by="lee")
    mine = phone.write(*CAPACITY, "26", "ML/d")
    theirs = other.write(*CAPACITY, "270", "L/s")
    assert desk.send([mine])["conflicts"] == []
    return mine, theirs, desk.send([theirs])


def test_the_second_phone_is_told_both_values_and_nothing_is_overwritten(
    url: str, desk: Desk, phone: Phone
) -> None:
    """Who is second hears the first's value as typed, by whom and when, each time it sends."""
    mine, theirs, answer = two_phones(desk, phone)
    assert answer["kept"] == [theirs["id"]]
    (conflict,) = answer["conflicts"]
    assert conflict["id"] == theirs["id"]
    told = {name: conflict["other"][name] for name in ("id", "typed", "unit", "by", "phone")}
    assert told == {name: mine[name] for name in told}
    assert conflict["other"]["at"].startswith("2026-03-01T08:01:00")
    assert conflict["other"]["value"] == pytest.approx(26 / 86.4)
    again = desk.send([theirs])  # the answer was lost
    assert (again["known"], again["conflicts"]) == ([theirs["id"]], [conflict])
    with served(url) as later:
        (contested,) = later.get("notes", run=phone.run_id)["contested"]
        assert {each["id"] for each in contested["notes"]} == {mine["id"], theirs["id"]}
        assert later.get("proposals")["proposals"] == []
        assert later.get("proposals")["contested"] == [contested]


def test_a_choice_is_logged_and_both_notes_stay(url: str, desk: Desk, phone: Phone) -> None:
    """Who chose which, when and why is kept once; the note chosen is then what is proposed."""
    mine, theirs, _ = two_phones(desk, phone)
    asked = {"id": fresh_id(), "note_ids": [mine["id"], theirs["id"]], "pick": theirs["id"],
             "by": "lead", "why": "lee read it with a light"}  # fmt: skip
    made = desk.post("notes/choose", **asked)
    assert desk.post("notes/choose", **asked) == {**made, "repeated": True}
    with served(url) as later:
        told = later.get("notes", run=phone.run_id)
        assert told["contested"] == []
        (choice,) = told["choices"]
        assert {name: choice[name] for name in asked} == asked
        assert choice["at"]
        assert [n["id"] for n in told["notes"]] == [mine["id"]]
        (proposal,) = later.get("proposals")["proposals"]
        assert proposal["note"]["id"] == theirs["id"]
        assert later.send([mine, theirs])["conflicts"] == []


def test_of_two_choices_at_once_one_holds(desk: Desk, phone: Phone) -> None:
    """Each picks another note at the same moment: one is kept, the other is told to look again."""
    mine, theirs, _ = two_phones(desk, phone)
    ids = [mine["id"], theirs["id"]]
    status: list[int] = []

    def choose(pick: str) -> None:
        body = {"id": fresh_id(), "note_ids": ids, "pick": pick, "why": "seen"}
        status.append(desk.client.post("/api/notes/choose", json=body).status_code)

    threads = [threading.Thread(target=choose, args=(pick,)) for pick in ids]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert sorted(status) == [200, 409]
    assert len(desk.book.choices()) == 1
    assert len(desk.get("proposals")["proposals"]) == 1


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_phone_that_did_not_hear_of_a_choice_is_told_anew(desk: Desk, phone: Phone) -> None:
    """Its next note follows upon the one not chosen: both stand again until somebody chooses."""
    mine, theirs, _ = two_phones(desk, phone)
    ids = [mine["id"], theirs["id"]]
    desk.post("notes/choose", id=fresh_id(), note_ids=ids, pick=theirs["id"], why="seen")
    later = phone.write(*CAPACITY, "26", "ML/d")
    assert later["after"] == mine["id"]
    (conflict,) = desk.send([later])["conflicts"]
    assert conflict["other"]["id"] == theirs["id"]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_who_knew_the_other_note_follows_upon_it(desk: Desk, phone: Phone) -> None:
    """A second phone that took the first's note along corrects it; nobody is contradicted."""
    mine = phone.write(*CAPACITY, "25.92", "ML/d")
    desk.send([mine])
    other = Phone(phone.run_id, by="lee", newest={CAPACITY: mine["id"]})
    theirs = other.write(*CAPACITY, "27", "ML/d")
    assert desk.send([theirs])["conflicts"] == []
    assert [n["id"] for n in desk.notes(phone.run_id)] == [mine["id"], theirs["id"]]


@pytest.mark.parametrize("kind", ["sqlite"])
@pytest.mark.parametrize(
    ("field", "one", "other"),
    [
        ("plate_capacity", ("25.92", "ML/d"), ("300", "L/s")),
        ("remark", ("gate is left of the shed", ""), ("dog at the shed", "")),
        ("hazards", ("undercut bank", ""), ("line overhead", "")),
    ],
)
def test_what_does_not_contradict_needs_no_choice(
    desk: Desk, phone: Phone, field: str, one: tuple[str, str], other: tuple[str, str]
) -> None:
    """The same flow in two units is one value; remarks and hazards of two people add up."""
    second = Phone(phone.run_id, by="lee")
    notes = [phone.write("0012", field, *one), second.write("0012", field, *other)]
    assert desk.send(notes)["conflicts"] == []
    assert desk.get("notes", run=phone.run_id)["contested"] == []


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_choice_is_between_what_contradicts_each_other(desk: Desk, phone: Phone) -> None:
    """One note, notes of two fields, a pick beside them, unknown ids: refused, nothing is kept."""
    mine, theirs, _ = two_phones(desk, phone)
    access = phone.write("0012", "access", "good")
    more = phone.write("0012", "access", "fair")
    desk.send([access, more])
    ids = [mine["id"], theirs["id"]]
    for note_ids, pick, status in (
        (ids[:1], ids[0], 409),
        ([ids[0], access["id"]], ids[0], 400),
        ([access["id"], more["id"]], more["id"], 409),
        (ids, access["id"], 400),
        ([*ids, fresh_id()], ids[0], 404),
        ([], ids[0], 400),
    ):
        desk.post("notes/choose", status, id=fresh_id(), note_ids=note_ids, pick=pick, why="seen")
    desk.post("notes/choose", 400, id=fresh_id(), note_ids=ids, pick=ids[0], why="  ")
    assert desk.book.choices() == []


@pytest.mark.parametrize("kind", ["sqlite"])
def test_notes_that_follow_each_other_in_a_ring_harm_nobody(desk: Desk, phone: Phone) -> None:
    """A phone gone wrong says each of two notes follows the other: both are told, none proposed."""
    one, other = (phone.write(*CAPACITY, typed, "ML/d") for typed in ("27", "28"))
    one["after"] = other["id"]
    assert desk.send([one, other])["refused"] == []
    assert len(desk.notes(phone.run_id)) == 2
    nothing = {"proposals": [], "contested": [], "said": [], "photos": []}
    assert desk.get("proposals") == nothing
    again = phone.write(*CAPACITY, "29", "ML/d")
    desk.send([again])
    (proposal,) = desk.get("proposals")["proposals"]
    assert proposal["note"]["id"] == again["id"]
