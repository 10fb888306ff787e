"""Rows pasted from a spreadsheet and an offtake moved on the map: previewed, then made an edit."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.catchment.small import small
from tests.contracts.at_work import Bench, bench, change


@pytest.fixture
def at(tmp_path: Path) -> Iterator[Bench]:
    with bench(tmp_path) as made:
        yield made


def paste(at: Bench, *lines: str, table: str = "offtakes", status: int = 200) -> dict[str, Any]:
    before = at.standing()
    told = at.post("paste", status, table=table, text="\n".join(lines))
    assert at.standing() == before
    return told


def test_pasted_cells_become_changes_that_can_be_sent(at: Bench) -> None:
    """Only what differs is a change; sent as one edit it stands, and pasted again nothing is."""
    lines = (
        "offtake_id\tcapacity_m3s\tlabel\tobserved_on",
        "A\t0.25\tPump A\t2020-05-01",
        "B\t0.3\tSecond pump\t",
        "C\t0.5\tChannel C\t",
    )
    told = paste(at, *lines)
    assert told["changes"] == [
        change("capacity_m3s", 0.2, 0.25),
        change("label", "Pump B", "Second pump", key="B"),
        change("observed_on", "2020-05-02", None, key="B"),
    ]
    assert (told["unchanged_rows"], told["new_rows"], told["findings"]) == (1, 0, [])
    at.edit(*told["changes"])
    assert (at.cell("capacity_m3s"), at.cell("observed_on", "B")) == (0.25, None)
    again = paste(at, *lines)
    assert (again["changes"], again["unchanged_rows"]) == ([], 3)


@pytest.mark.parametrize("mark", ["\t", ","])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_tabs_and_commas_lines_and_quotes_are_read_alike(at: Bench, mark: str, end: str) -> None:
    """As a spreadsheet copies them, and as a CSV file says them, with a mark before or not."""
    text = end.join(
        ("", mark.join(("label", "offtake_id")), mark.join(('"Pump, ""one"""', "A")), "")
    )
    told = at.post("paste", table="offtakes", text=text)
    assert told["changes"] == [change("label", "Pump A", 'Pump, "one"')]
    marked = at.post("paste", table="offtakes", text="\ufeff" + text.lstrip())
    assert marked["changes"] == told["changes"]


def test_a_new_code_is_a_new_row(at: Bench) -> None:
    """Rows whose key is not there are added whole, with their place; then they stand."""
    told = paste(
        at,
        "offtake_id,kind,capacity_m3s,use_01,lon,lat,label",
        "D,rail_suction,0.1,0.5,10.021,50.0149,",
        "A,rail_suction,0.2,0.9,10.02,50.015,Pump A",
    )
    assert (told["new_rows"], told["unchanged_rows"], told["findings"]) == (1, 1, [])
    (added,) = told["changes"]
    assert (added["key"], added["column"], added["old"]) == ("D", "", None)
    assert added["new"]["geometry"] == [10.021, 50.0149]
    assert "label" not in added["new"]
    at.edit(added)
    assert at.get("rows/offtakes/D")["understood"]["reach_id"] == "up"


def test_columns_that_no_one_knows_are_named_and_left_out(at: Bench) -> None:
    """A comment column changes nothing and is said to."""
    told = paste(at, "offtake_id,comment,Capacity,capacity_m3s", "A,hello,9,0.2")
    assert told["unknown_columns"] == ["comment", "Capacity"]
    assert (told["changes"], told["unchanged_rows"]) == ([], 1)


def test_every_fault_is_told_by_its_line(at: Bench) -> None:
    """All at once, by line of the paste, key and column; nothing could be written."""
    told = paste(
        at,
        "offtake_id\tcapacity_m3s\tkind",
        "A\tlots\trail_suction",
        "",
        "B\t\tfixed_suction",
        "N\t1\tsiphon",
    )
    found = {(each["row"], each["key"], each["column"], each["code"]) for each in told["findings"]}
    assert {
        (2, "A", "capacity_m3s", "not_a_number"),
        (4, "B", "capacity_m3s", "empty_cell"),
        (5, "N", "kind", "unknown_word"),
    } <= found
    assert all(each["remedy"] for each in told["findings"])
    at.edit(*told["changes"], status=422)


def test_a_code_that_stands_twice_counts_once_and_is_told(at: Bench) -> None:
    """The second line is a fault that names the first."""
    told = paste(at, "offtake_id,label", "A,One", "A,Two")
    assert [each["new"] for each in told["changes"]] == ["One"]
    (found,) = told["findings"]
    assert (found["row"], found["code"]) == (3, "pasted_twice")
    assert "line 2" in found["remedy"]


def test_a_row_without_its_key_is_a_fault(at: Bench) -> None:
    """It is neither guessed nor left out in silence."""
    told = paste(at, "offtake_id,label", ",Nobody's")
    assert [(each["row"], each["column"], each["code"]) for each in told["findings"]] == [
        (2, "offtake_id", "empty_cell")
    ]
    assert told["changes"] == []


def test_a_short_row_says_nothing_of_the_cells_it_lacks(at: Bench) -> None:
    """They stay as they are; a row too short to hold its key, and one too long, are faults."""
    told = paste(at, "offtake_id,label,access", "A,One")
    assert told["changes"] == [change("label", "Pump A", "One")]
    told = paste(at, "label,offtake_id", "One")
    assert [each["code"] for each in told["findings"]] == ["empty_cell"]
    told = paste(at, "offtake_id,label", "A,One,two,")
    assert [(each["row"], each["code"]) for each in told["findings"]] == [(2, "ragged_row")]
    assert paste(at, "offtake_id,label", "A,One,,")["findings"] == []


@pytest.mark.parametrize(
    ("table", "text", "words"),
    [
        ("offtakes", "", "offtake_id"),
        ("offtakes", "label\nPump", "offtake_id"),
        ("offtakes", "offtake_id,label,label\nA,b,c", "label more than once"),
        ("efficacy", "option_id,drifter\ncone,1", "guild_id"),
        ("weirs", "reach_id\nmid", "none of them"),
        ("no_such", "a\nb", "none of them"),
        ("offtakes", 'offtake_id,label\nA,"' + "x" * 200_000, "cells"),
    ],
)
def test_what_cannot_be_pasted_is_refused(at: Bench, table: str, text: str, words: str) -> None:
    """Without a table, a key or a header that makes sense there is no preview, but a reason."""
    answer = at.post("paste", 400, table=table, text=text)
    assert words in answer["error"]["message"]


def test_a_formula_is_text_as_it_stands(at: Bench) -> None:
    """Nothing is computed; what looks like a formula is kept as the text it is."""
    told = paste(at, "offtake_id\tlabel", "A\t=1+1")
    at.edit(*told["changes"])
    assert at.cell("label") == "=1+1"


def test_further_numbers_of_a_criterion_can_be_pasted(tmp_path: Path) -> None:
    """A column that a criterion of the score reads is known."""
    of = small()
    of.settings["criterion"] = [{"column": "heron_nests", "weight": 0.5, "worst": 0, "best": 4}]
    for row in range(3):
        of.set("offtakes", row, "heron_nests", "1")
    with bench(tmp_path, of) as at:
        told = paste(at, "offtake_id,heron_nests", "A,3")
        assert told["changes"] == [change("heron_nests", 1.0, 3.0)]
        at.edit(*told["changes"])
        assert at.cell("heron_nests") == 3.0


def place(at: Bench, code: str, lon: float, lat: float, status: int = 200) -> dict[str, Any]:
    before = at.standing()
    told = at.post("place", status, code=code, lon=lon, lat=lat)
    assert at.standing() == before
    return told


def test_a_moved_offtake_draws_from_the_nearest_reach(at: Bench) -> None:
    """Reach and chainage are derived again where they were given; sent as an edit they stand."""
    told = place(at, "A", 10.25, 50.0098)
    assert (told["reach_id"], told["reach_name"]) == ("low", "Lower")
    assert 3900 < told["chainage_m"] < 4100  # halfway along a line of given length 8,000 m
    assert 15 < told["distance_m"] < 30  # 0.0002 degrees of latitude
    assert told["findings"] == []
    assert told["changes"] == [
        change("geometry", [10.02, 50.015], [10.25, 50.0098]),
        change("reach_id", "up", "low"),
        change("chainage_m", 2000.0, told["chainage_m"]),
    ]
    at.edit(*told["changes"])
    understood = at.get("rows/offtakes/A")["understood"]
    assert (understood["reach_id"], understood["chainage_m"]) == ("low", told["chainage_m"])
    at.settled()
    assert at.get("offtakes")["reach"][0] == 3


def test_what_was_left_blank_stays_blank_and_follows_from_the_place(at: Bench) -> None:
    """Of an offtake without reach and chainage only the place changes; both are derived."""
    told = place(at, "C", 10.15, 50.0198)
    assert told["reach_id"] == "side"
    assert [each["column"] for each in told["changes"]] == ["geometry"]
    at.edit(*told["changes"])
    row = at.get("rows/offtakes/C")
    assert (row["cells"]["reach_id"], row["cells"]["chainage_m"]) == (None, None)
    assert row["understood"]["reach_id"] == "side"
    assert row["understood"]["chainage_m"] == pytest.approx(told["chainage_m"], abs=0.06)


def test_a_place_far_from_the_river_is_found_and_told(at: Bench) -> None:
    """The nearest reach is named with how far it is, and that it is too far."""
    told = place(at, "A", 10.02, 50.2)
    assert told["distance_m"] > 15_000
    assert told["limit_m"] == 250
    (found,) = told["findings"]
    assert found["code"] == "far_from_reach"
    for words in ("at most 250 m", "its place (geometry)", "the limit (snap_limit_m)"):
        assert words in found["remedy"]
    at.edit(*told["changes"], status=422)


@pytest.mark.parametrize(
    ("code", "lon", "lat", "status"),
    [("nobody", 10.0, 50.0, 404), ("A", 200.0, 50.0, 400), ("A", 10.0, 91.0, 400)],
)
def test_what_is_no_place_is_refused(
    at: Bench, code: str, lon: float, lat: float, status: int
) -> None:
    """An unknown code and what lies outside the world are refused."""
    place(at, code, lon, lat, status)


def test_without_lines_nothing_can_be_placed(tmp_path: Path) -> None:
    """Where reaches carry no lines, reach and chainage are to be given."""
    of = small()
    of.tables["reaches"].geometry = None
    of.set("offtakes", 1, "chainage_m", "100")
    of.set("offtakes", 2, "chainage_m", "100")
    of.set("offtakes", 2, "reach_id", "low")
    with bench(tmp_path, of) as at:
        told = place(at, "A", 10.0, 50.0, 400)
        assert "carry no lines" in told["error"]["message"]
