"""W18 at the server: whatever is sent how often and in which order, each note is there once."""

from __future__ import annotations

import json
import random
import threading
from typing import Any

import pytest

from tests.store.field.at_pump import Desk, Phone, a_run, served
from tests.store.said import fresh_id

NAN = float("nan")


def a_day(phone: Phone) -> list[dict[str, Any]]:
    """Write what a visit to two pumps gives, some of it twice."""
    phone.write("0012", "plate_capacity", "25.92", "ML/d")
    phone.write("0012", "depth_today", "1.9", "m")
    phone.write("0012", "plate_capacity", "27", "ML/d")
    phone.write("0012", "remark", "Plate is worn:\nread twice")
    phone.write("0013", "access", "poor")
    phone.write("0013", "no_entry", "gate locked")
    phone.write("0012", "plate_capacity", "26", "ML/d")
    phone.write("0013", "access", "")
    return list(phone.outbox)


def test_a_batch_sent_three_times_in_two_orders_is_kept_once_and_in_order(
    url: str, desk: Desk, phone: Phone
) -> None:
    """The first answer is lost, the second comes back to front: once each, in the order written."""
    notes = a_day(phone)
    ids = [note["id"] for note in notes]
    backwards = list(reversed(notes))
    first = desk.send(backwards[:5])  # nobody hears this answer
    assert first["kept"] == [note["id"] for note in backwards[:5]]
    second = desk.send(backwards)
    assert (set(second["known"]), set(second["kept"])) == (set(ids[3:]), set(ids[:3]))
    third = desk.send(notes)
    assert (third["known"], third["kept"], third["refused"]) == (ids, [], [])
    with served(url) as again:
        told = again.notes(phone.run_id)
    assert [note["id"] for note in told] == ids
    same = ("id", "run_id", "code", "field", "typed", "unit", "phone", "after", "by")
    for sent, kept in zip(notes, told, strict=True):
        assert {name: kept[name] for name in same} == {name: sent[name] for name in same}
    assert told[0]["value"] == pytest.approx(0.3)
    assert told[-1]["value"] is None


def test_many_who_send_one_batch_at_once_keep_it_once(desk: Desk, phone: Phone) -> None:
    """Six at a time with the same notes: all are new to one of them and known to the others."""
    notes = a_day(phone)
    told: list[dict[str, Any]] = []
    senders = [threading.Thread(target=lambda: told.append(desk.send(notes))) for _ in range(6)]
    for each in senders:
        each.start()
    for each in senders:
        each.join()
    assert sorted(len(each["kept"]) for each in told) == [0] * 5 + [len(notes)]
    assert len(desk.notes(phone.run_id)) == len(notes)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_order_holds_whatever_arrives_first_and_whatever_the_clock_does(
    desk: Desk, phone: Phone
) -> None:
    """Sent one by one in twenty random orders, with a clock set back, a chain keeps its order."""
    chance = random.Random(1)
    for _ in range(20):
        mine = Phone(phone.run_id)
        code = chance.choice(["0012", "0013"])
        chain = [mine.write(code, "running", word) for word in ("running", "stopped", "running")]
        chain[1]["at"] = "2026-02-01T00:00:00+00:00"
        shuffled = chance.sample(chain, 3)
        for each in shuffled:
            assert desk.send([each])["kept"] == [each["id"]]
        of_chain = [n["id"] for n in desk.notes(phone.run_id) if n["phone"] == mine.name]
        assert of_chain == [each["id"] for each in chain]


NAMED = {"of": "running", "typed": "running"}
CAPACITY = {"field": "plate_capacity", "unit": "ML/d"}


AT_FAULT: list[tuple[dict[str, Any], str]] = [
    (CAPACITY | {"typed": "12,5"}, "a number with digits and a point"),
    (CAPACITY | {"typed": "about 12"}, "a number with digits and a point"),
    (CAPACITY | {"typed": "nan"}, "a number with digits and a point"),
    (CAPACITY | {"typed": "inf"}, "a number with digits and a point"),
    (CAPACITY | {"typed": "１２"}, "a number with digits and a point"),
    (CAPACITY | {"typed": "1e999"}, "too large"),
    (CAPACITY | {"typed": "9" * 300}, "a number with digits"),
    (CAPACITY | {"typed": "-3"}, "above 0"),
    (CAPACITY | {"typed": "0"}, "above 0"),
    (CAPACITY | {"typed": "12", "unit": "gallons"}, "ML/d"),
    (CAPACITY | {"typed": "12", "unit": ""}, "ML/d"),
    (CAPACITY | {"typed": "12", "value": 12.0}, "came with it"),
    (CAPACITY | {"typed": "12", "value": True}, "came with it"),
    (CAPACITY | {"typed": "12", "value": NAN}, "came with it"),
    (CAPACITY | {"typed": "12", "value": [1]}, "came with it"),
    (CAPACITY | {"typed": "12", "value": 10**400}, "came with it"),
    (CAPACITY | {"typed": NAN}, "typed is a text"),
    (CAPACITY | {"typed": 12}, "typed is a text"),
    ({"field": "depth_low", "typed": "-0.1", "unit": "m"}, "0 or more"),
    ({"field": "depth_low", "typed": "1", "unit": "fathom"}, "m, cm, ft"),
    ({"typed": "walking"}, "running, stopped, locked out"),
    ({"unit": "m"}, "no unit"),
    ({"field": "remark", "typed": "a\x00b"}, "control character"),
    ({"field": "remark", "typed": "a\x1b[2Jb"}, "control character"),
    ({"field": "remark", "typed": "a\ttab"}, "control character"),
    ({"field": "remark", "typed": "x" * 10_001}, "10001 characters"),
    ({"field": "remark", "typed": "\ud800"}, "half a character"),
    ({"field": "shoe_size"}, "no field of the form"),
    ({"field": None}, "no field of the form"),
    ({"id": "17"}, "UUID"),
    ({"id": None}, "UUID"),
    ({"run_id": "../../x"}, "UUID"),
    ({"run_id": "00000000-0000-4000-8000-000000000000"}, "no such run"),
    ({"after": "before"}, "UUID"),
    ({"code": "0099"}, "no offtake 0099"),
    ({"code": ""}, "empty"),
    ({"phone": ""}, "empty"),
    ({"phone": "p" * 65}, "65 characters"),
    ({"by": "a\nb"}, "control character"),
    ({"at": "yesterday"}, "a time such as"),
    ({"at": "2026-03-01T08:00:00"}, "its zone"),
    ({"at": "0001-01-01T00:00:00+00:00"}, "of our days"),
]  # fmt: skip
"""What is wrong with a note, and what is told of it."""


@pytest.mark.parametrize("kind", ["sqlite"])
def test_one_note_at_fault_holds_no_other_up(desk: Desk, phone: Phone) -> None:
    """Each is refused by its id and in plain words; those before and behind it are kept."""
    sent, odd = [], []
    for changed, _ in AT_FAULT:
        sent.append(phone.write("0012", "running", "running"))
        odd.append(phone.write("0012", **NAMED) | changed)
        sent.append(odd[-1])
    answer = _sent(desk, sent)
    assert answer["kept"] == [note["id"] for note in sent[::2]]
    assert len(answer["refused"]) == len(AT_FAULT)
    for refused, note, (changed, told) in zip(answer["refused"], odd, AT_FAULT, strict=True):
        assert refused["id"] == (note["id"] or ""), changed
        assert told in refused["why"], changed
    assert len(desk.notes(phone.run_id)) == len(AT_FAULT)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_what_is_no_note_at_all_is_refused_beside_the_others(desk: Desk, phone: Phone) -> None:
    """Numbers, lists and nothing in the place of a note are told; the one note is kept."""
    note = phone.write("0012", "access", "good")
    answer = desk.send([7, None, "note", [note], {}, note])
    assert answer["kept"] == [note["id"]]
    assert [each["id"] for each in answer["refused"]] == [""] * 5


@pytest.mark.parametrize("kind", ["sqlite"])
def test_what_may_be_long_or_odd_is_kept_as_typed(desk: Desk, phone: Phone) -> None:
    """Ten thousand characters, other scripts, quotes and tags come back letter for letter."""
    texts = [
        "x" * 10_000,
        "<script>alert('x')</script>",
        "ß 河 🐟 'quoted' \"twice\"",
        "=1+1",
        "a\r\nb",
    ]
    notes = [phone.write("0012", "remark", text) for text in texts]
    numbers = [
        phone.write("0013", "plate_capacity", each, "L/s") for each in (" 200 ", "2e2", "200.")
    ]
    assert desk.send([*notes, *numbers])["refused"] == []
    told = desk.notes(phone.run_id)
    assert [note["typed"] for note in told[:5]] == texts
    assert [note["value"] for note in told[4:]] == ["a\nb", 0.2, 0.2, 0.2]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_whoever_does_not_say_who_writes_loses_no_note(desk: Desk, phone: Phone) -> None:
    """Without accounts and without a name, a note and a choice are signed with the word field."""
    second = Phone(phone.run_id, by="")
    notes = [
        each.write("0012", "access", typed) for each, typed in ((phone, "good"), (second, "poor"))
    ]
    assert desk.send(notes)["refused"] == []
    # neither follows the other, and both clocks say the same: any order is right
    assert sorted(note["by"] for note in desk.notes(phone.run_id)) == ["field", "kim"]
    ids = [note["id"] for note in notes]
    made = desk.post("notes/choose", id=fresh_id(), note_ids=ids, pick=ids[0], by="", why="seen")
    assert made["by"] == "field"


@pytest.mark.parametrize("kind", ["sqlite"])
def test_an_id_stands_for_one_note(desk: Desk, phone: Phone) -> None:
    """The same id with another value is refused, and the first stays; sent twice it is once."""
    note = phone.write("0012", "access", "good")
    assert desk.send([note, note])["kept"] == [note["id"]]
    other = {**note, "typed": "poor"}
    answer = desk.send([other])
    assert [each["id"] for each in answer["refused"]] == [note["id"]]
    assert "another" in answer["refused"][0]["why"]
    assert [each["typed"] for each in desk.notes(phone.run_id)] == ["good"]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_batch_has_its_bounds(desk: Desk, phone: Phone) -> None:
    """None at all, more than 200, or more than 4 MB at once are refused whole; 200 are kept."""
    notes = [phone.write("0012", "remark", f"{n}") for n in range(201)]
    desk.send([], 400)
    desk.send(notes, 400)
    assert desk.notes(phone.run_id) == []
    assert len(desk.send(notes[:200])["kept"]) == 200
    large = [{**phone.write("0012", "remark", "x"), "typed": "x" * 30_000} for _ in range(150)]
    desk.send(large, 413)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_notes_of_a_run_taken_off_the_list_are_not_lost(desk: Desk, phone: Phone) -> None:
    """A phone may still hold it: its notes are kept, and the run is listed again; then it stays."""
    desk.book.drop_run(phone.run_id)
    assert desk.book.runs() == []
    note = phone.write("0012", "access", "good")
    assert desk.send([note])["kept"] == [note["id"]]
    assert [run.id for run in desk.book.runs()] == [phone.run_id]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_notes_of_an_offtake_gone_since_are_not_lost(desk: Desk) -> None:
    """A stop that left the register while the phone was out still takes its notes, told as such."""
    gone = desk.book.put_run(a_run("0444"))
    note = Phone(gone.id).write("0444", "plate_capacity", "12", "ML/d")
    assert desk.send([note])["kept"] == [note["id"]]
    (proposal,) = desk.get("proposals")["proposals"]
    assert (proposal["proposed"], proposal["register"]) == (None, None)
    assert "no such offtake" in proposal["words"]
    picks = [{"note_id": note["id"]}]
    desk.post("proposals/accept", 400, id=fresh_id(), picks=picks)


def _sent(desk: Desk, notes: list[Any]) -> dict[str, Any]:
    """Send notes with what Python takes for JSON: numbers that are none, half characters."""
    body = json.dumps({"notes": notes})
    answer = desk.client.post(
        "/api/notes", content=body, headers={"content-type": "application/json"}
    )
    assert answer.status_code == 200, answer.text
    return answer.json()
