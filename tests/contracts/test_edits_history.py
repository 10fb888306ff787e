"""Past edits through the web door: undone by new ones, listed in pages; a row as it stands."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.contracts.at_work import Bench, bench, change, new_id


@pytest.fixture
def at(tmp_path: Path) -> Iterator[Bench]:
    with bench(tmp_path) as made:
        yield made


def test_undo_is_a_new_edit_and_is_itself_undone(at: Bench) -> None:
    """Old values stand again, the history grows, and who undid what is said on both."""
    first = at.standing()
    done = at.edit(change("capacity_m3s", 0.2, 0.25), change("label", "Pump A", "First pump"))
    undone = at.post(f"edits/{done['id']}/undo", id=new_id(), why="another pump's plate")
    assert undone["data_version"] == first[1]
    assert (at.cell("capacity_m3s"), at.cell("label")) == (0.2, "Pump A")
    again = at.post(f"edits/{undone['id']}/undo", id=new_id(), why="it was this one's")
    assert again["data_version"] == done["data_version"]
    assert at.cell("capacity_m3s") == 0.25
    last, middle, early, _ = at.get("edits")["edits"]
    assert (last["kind"], last["undoes"]) == ("undo", undone["id"])
    assert (middle["undoes"], middle["undone_by"]) == (done["id"], again["id"])
    assert early["undone_by"] == undone["id"]


def test_undo_repeats_and_refusals(at: Bench) -> None:
    """Sent again it is done once; twice, of an import, of a cell changed since: refused."""
    done = at.edit(change("capacity_m3s", 0.2, 0.25))
    asked = {"id": new_id(), "why": "no"}
    assert at.post(f"edits/{done['id']}/undo", **asked)["repeated"] is False
    assert at.post(f"edits/{done['id']}/undo", **asked)["repeated"] is True
    before = at.standing()
    twice = at.post(f"edits/{done['id']}/undo", 409, id=new_id(), why="no")
    assert twice["error"]["code"] == "settled"
    assert at.post(f"edits/{new_id()}/undo", 404, id=new_id(), why="no")
    assert at.post("edits/no-id/undo", 400, id=new_id(), why="no")
    imported = at.get("edits")["edits"][-1]
    assert imported["kind"] == "import"
    told = at.post(f"edits/{imported['id']}/undo", 400, id=new_id(), why="no")
    assert "import" in told["error"]["message"]
    assert at.standing() == before
    one = at.edit(change("label", "Pump A", "One"))
    at.edit(change("label", "One", "Two"), by="Second")
    late = at.post(f"edits/{one['id']}/undo", 409, id=new_id(), why="no")
    (conflict,) = late["error"]["conflicts"]
    assert (conflict["seen"], conflict["now"], conflict["by"]) == ("One", "Two", "Second")


def test_history_comes_in_pages_newest_first(at: Bench) -> None:
    """Page by page every edit comes once; of one row only its own."""
    for n in range(7):
        at.edit(change("wear_cost_year", 100.0 + n, 101.0 + n))
    at.edit(change("label", "Pump B", "Second", key="B"))
    seen: list[int] = []
    page = at.get("edits", limit=3)
    while True:
        seen += [each["seq"] for each in page["edits"]]
        if not page["more"]:
            break
        page = at.get("edits", limit=3, before=seen[-1])
    assert seen == list(range(9, 0, -1))
    assert [e["seq"] for e in at.get("edits", table="offtakes", key="B")["edits"]] == [9]
    assert len(at.get("edits", table="offtakes", key="A")["edits"]) == 7
    assert at.get("edits", table="gauges", key="G1")["edits"] == []
    for wrong in ({"limit": 0}, {"limit": 5000}, {"before": 0}):
        at.get("edits", 400, **wrong)


def test_a_large_edit_is_listed_by_its_first_changes(at: Bench) -> None:
    """Fifty changes come with the list, and how many there are."""
    lines = [
        change("flow_m3s", (10.0, 17.0, 24.0)[n % 3], 11.0, table="daily",
               key=f"G1/2019-{1 + n // 28:02d}-{1 + n % 28:02d}") for n in range(0, 28)
    ] + [
        change("water_temp_c", 12 + (n % 100) / 10, 13.0, table="daily",
               key=f"G1/2019-01-{1 + n:02d}") for n in range(0, 28)
    ]  # fmt: skip
    lines = [each for each in lines if each["old"] != each["new"]]
    at.edit(*lines)
    (past, _) = at.get("edits")["edits"]
    assert past["change_count"] == len(lines) > 50
    assert len(past["changes"]) == 50


def test_a_row_says_what_each_cell_may_hold(at: Bench) -> None:
    """Every column of the contract with kind, unit and bounds; what was not given is null."""
    row = at.get("rows/offtakes/B")
    fields = {each["name"]: each for each in row["fields"]}
    assert set(fields) | {"geometry"} == set(row["cells"])
    assert fields["kind"]["words"][0] == "rail_suction"
    assert (fields["capacity_m3s"]["unit"], fields["capacity_m3s"]["needed"]) == ("m3/s", True)
    assert (fields["use_01"]["least"], fields["use_01"]["most"]) == (0.0, 1.0)
    assert row["cells"]["chainage_m"] is None
    assert 0 < row["understood"]["chainage_m"] < 3700
    assert row["cells"]["quote"] == 50000.0


@pytest.mark.parametrize(
    ("table", "key"),
    [("weirs", "1"), ("efficacy", "cone/bream"), ("daily", "G1/2019-03-01"), ("depots", "1"),
     ("prices", "power/"), ("splits", "mid/low"), ("reaches", "up")],
)  # fmt: skip
def test_every_kind_of_row_is_found_by_its_key(at: Bench, table: str, key: str) -> None:
    """Parts of a key are joined by a stroke; rows without a key go by their number."""
    row = at.get(f"rows/{table}/{key}")
    assert (row["table"], row["key"]) == (table, key)
    name, value = [(n, c) for n, c in row["cells"].items() if c is not None][-1]
    at.edit(change(name, value, value, key=key, table=table))


@pytest.mark.parametrize(
    ("table", "key"), [("offtakes", "nobody"), ("nowhere", "A"), ("weirs", "99"), ("weirs", "x"),
                       ("weirs", "\u0661"), ("catchment", "toml")]
)  # fmt: skip
def test_what_is_no_row_is_not_found(at: Bench, table: str, key: str) -> None:
    """404 without repeating what was asked for."""
    answer = at.get(f"rows/{table}/{key}", 404)
    assert answer["error"]["code"] == "not_here"
    assert key not in answer["error"]["message"].split()
