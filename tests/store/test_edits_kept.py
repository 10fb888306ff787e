"""An edit is done once, whole, on what it saw, and is remembered for good; on both stores."""

from __future__ import annotations

import operator
import tomllib
from dataclasses import replace
from typing import Any

import pytest
import tomli_w

from slackwater.errors import EditConflict, InputFaults, Settled, UsageError
from slackwater.store import Change, Register, editing, open_register
from tests.store.said import capacity, cell, check, edit, fresh_id


def test_an_edit_stands_after_reopening(url: str) -> None:
    """What was acknowledged is there when the database is opened again, with its new version."""
    first = open_register(url)
    done = first.apply(edit(capacity(0.3, 0.35), basis="measured", source="meter"), check)
    first.close()
    again = open_register(url)
    assert again.standing() == done.standing
    assert cell(again, "offtakes", "0012", "capacity_m3s") == 0.35
    assert check(again.raw()) == done.standing.data_version
    (past,) = again.history(limit=1)
    assert past.changes == (capacity(0.3, 0.35),)
    assert (past.why, past.by, past.basis, past.source) == (
        "seen on site",
        "lead",
        "measured",
        "meter",
    )
    assert (past.seq, past.at, past.revision) == (done.seq, done.at, 2)
    again.close()


def test_an_edit_on_an_old_value_is_refused_with_both(register: Register) -> None:
    """Whoever comes second is told what they saw, what stands, and who wrote it when."""
    first = register.apply(edit(capacity(0.3, 0.35), by="Ines"), check)
    before = register.standing()
    with pytest.raises(EditConflict) as refused:
        register.apply(
            edit(capacity(0.3, 0.4), Change("offtakes", "0013", "power", "yes", "no")), check
        )
    one, other = refused.value.conflicts
    assert (one.seen, one.now, one.by, one.at) == (0.3, 0.35, "Ines", first.at)
    assert (other.column, other.seen, other.now, other.at) == ("power", "yes", None, "")
    assert register.standing() == before
    assert len(register.history()) == 2


def test_a_repeat_writes_nothing(register: Register) -> None:
    """The same edit sent again is acknowledged as it was, even after later ones."""
    asked = edit(capacity(0.3, 0.35))
    first = register.apply(asked, check)
    register.apply(edit(capacity(0.35, 0.36)), check)
    again = register.apply(asked, check)
    assert (again.seq, again.at, again.repeated) == (first.seq, first.at, True)
    assert register.standing().revision == 3
    assert cell(register, "offtakes", "0012", "capacity_m3s") == 0.36


def test_an_id_stands_for_one_edit(register: Register) -> None:
    """The id of an edit with other content is refused, and nothing is written."""
    asked = edit(capacity(0.3, 0.35))
    register.apply(asked, check)
    with pytest.raises(UsageError):
        register.apply(replace(asked, why="another reason"), check)
    assert register.standing().revision == 2


def test_faults_leave_everything_as_it_was(register: Register) -> None:
    """Where one of many changes would leave the catchment at fault, none is written."""
    before = register.standing()
    with pytest.raises(InputFaults) as refused:
        register.apply(edit(capacity(0.3, 0.35), capacity(0.25, -1, "0013")), check)
    (fault,) = refused.value.faults
    assert (fault.table, fault.key, fault.column, fault.code) == (
        "offtakes", "0013", "capacity_m3s", "negative")  # fmt: skip
    assert register.standing() == before
    assert cell(register, "offtakes", "0012", "capacity_m3s") == 0.3
    assert len(register.history()) == 1


def test_undo_is_a_new_row(register: Register) -> None:
    """An edit is taken back by another, both stay in the history, and the data is as before."""
    before = register.standing()
    done = register.apply(edit(capacity(0.3, 0.35)), check)
    back = edit(capacity(0.35, 0.3), undoes=done.edit_id, kind="undo", why="misread")
    undone = register.apply(back, check)
    assert undone.standing.data_version == before.data_version
    newest, undone_one, _ = register.history()
    assert (newest.undoes, newest.kind) == (done.edit_id, "undo")
    assert undone_one.undone_by == back.id
    with pytest.raises(Settled):
        register.apply(edit(capacity(0.3, 0.35), undoes=done.edit_id, kind="undo"), check)


def test_a_dry_run_writes_nothing(register: Register) -> None:
    """Asked only whether it could be done, the database says so and stays as it was."""
    before = register.standing()
    done = register.apply(edit(capacity(0.3, 0.35)), check, dry_run=True)
    assert done.standing.data_version != before.data_version
    assert register.standing() == before
    assert len(register.history()) == 1


def test_rows_come_and_go_with_all_they_said(register: Register) -> None:
    """A row is added, removed and put back; one that others name is not removed."""
    before = register.standing()
    row = {"option_id": "cone", "guild_id": "dace", "drifter": 0.5, "source": "invented"}
    gone = Change("efficacy", "cone/dace", "", row, None)
    with pytest.raises(EditConflict):
        register.apply(edit(replace(gone, old={**row, "drifter": 1.0})), check)
    with pytest.raises(EditConflict):
        register.apply(edit(Change("efficacy", "", "", None, row)), check)
    register.apply(edit(gone), check)
    assert register.raw().tables["efficacy"].rows == ()
    register.apply(edit(Change("efficacy", "", "", None, row)), check)
    assert register.standing().data_version == before.data_version
    (past,) = register.history(table="efficacy", key="cone/dace", limit=1)
    assert past.changes[0].new == row
    option = {"option_id": "cone", "name": "Cone", "approach_velocity_ms": 0.1, "opening_mm": 2.0,
              "open_share": 0.5, "unit_area_m2": 3.0, "unit_price": 20000.0,
              "source": "invented"}  # fmt: skip
    with pytest.raises(InputFaults):
        register.apply(edit(Change("options", "cone", "", option, None)), check)


def test_rows_without_a_key_are_known_by_their_number(register: Register) -> None:
    """A weir is added, changed and removed by the number it was given."""
    weir = {"reach_id": "01", "survival": 0.5}
    register.apply(edit(Change("weirs", "", "", None, weir)), check)
    (past,) = register.history(table="weirs", limit=1)
    key = past.changes[0].key
    register.apply(edit(Change("weirs", key, "survival", 0.5, 0.75)), check)
    assert list(register.raw().tables["weirs"].cells["survival"]) == [0.75]
    register.apply(edit(Change("weirs", key, "", {**weir, "survival": 0.75}, None)), check)
    assert register.raw().tables["weirs"].rows == ()


def test_a_place_moves_to_the_last_digit(register: Register) -> None:
    """A moved offtake lies exactly where it was put, and its old place is in the history."""
    old, new = [100.0401, -36.0199], [100.04010000000001, -36.019900000000007]
    register.apply(edit(Change("offtakes", "0012", "geometry", old, new)), check)
    point = register.raw().tables["offtakes"].geometry[0]
    assert [point.x, point.y] == new
    assert register.history(limit=1)[0].changes[0].old == old
    with pytest.raises(EditConflict):
        register.apply(edit(Change("offtakes", "0012", "geometry", old, [100.04, -36.02])), check)


def test_a_criterion_and_the_column_it_names_come_in_one_edit(register: Register) -> None:
    """Settings change as one text, and further columns of the offtakes are kept."""
    raw = register.raw()
    assert raw.tables["offtakes"].cells["heron_nests"] == (3.0, 1.0)
    nested = tomllib.loads(raw.settings_text)
    nested["criterion"].append({"column": "pelicans", "weight": 0.1, "worst": 0, "best": 9})
    text = tomli_w.dumps(nested)
    said = edit(
        Change("catchment", "", "toml", raw.settings_text, text),
        Change("offtakes", "0012", "pelicans", None, 4),
        Change("offtakes", "0013", "pelicans", None, 5),
    )
    register.apply(said, check)
    assert register.raw().tables["offtakes"].cells["pelicans"] == (4.0, 5.0)
    with pytest.raises(InputFaults):
        register.apply(edit(Change("catchment", "", "toml", text, "weights = [")), check)


def test_history_is_newest_first_and_pages(register: Register) -> None:
    """Edits come newest first, and page by page none is missed or told twice."""
    for number in range(5):
        register.apply(edit(capacity(0.3 + number, 1.3 + number)), check)
    first = register.history(limit=3)
    rest = register.history(limit=3, before_seq=first[-1].seq)
    assert [past.seq for past in first + rest] == [6, 5, 4, 3, 2, 1]
    assert [past.kind for past in rest] == ["edit", "edit", "import"]
    last = register.written_last("offtakes", "0012")
    assert last["capacity_m3s"].seq == 6


@pytest.mark.parametrize("bad", [
    capacity(0.3, 0.4, "0099"),
    Change("offtakes", "0012", "no_such_column", None, 1),
    Change("no_such_table", "0012", "name", None, 1),
    Change("offtakes", "0012", "geometry", [100.0401, -36.0199], "here"),
    Change("offtakes", "0012", "", None, None),
    Change("catchment", "", "name", "", "Umber"),
])  # fmt: skip
def test_what_is_not_there_cannot_be_changed(register: Register, bad: Change) -> None:
    """An unknown table, row or column, or a value of no sense, is bad usage; nothing is written."""
    with pytest.raises(UsageError):
        register.apply(edit(capacity(0.3, 0.35), bad), check)
    assert register.standing().revision == 1


@pytest.mark.parametrize("said", [
    {"why": " "}, {"by": ""}, {"id": "7"}, {"basis": "guessed"}, {"observed_on": "yesterday"},
    {"kind": "whim"}, {"undoes": fresh_id()},
])  # fmt: skip
def test_an_edit_says_what_every_edit_must(register: Register, said: dict[str, str]) -> None:
    """Without a reason, a person, a UUID or with words of no meaning it is bad usage."""
    with pytest.raises(UsageError):
        register.apply(edit(capacity(0.3, 0.35), **said), check)
    assert register.standing().revision == 1


def test_the_database_itself_holds_the_links(register: Register) -> None:
    """Even where nothing is checked, a row that names one that is not there cannot be committed."""
    with pytest.raises(Exception, match=r"(?i)foreign key"):
        register.apply(
            edit(Change("offtakes", "0012", "reach_id", "01", "77")), lambda _: "unchecked"
        )
    assert cell(register, "offtakes", "0012", "reach_id") == "01"


def test_a_value_of_another_type_is_never_stored(register: Register) -> None:
    """Where whoever checks lets a word through for a number, the store still refuses it."""
    with pytest.raises(UsageError):
        register.apply(edit(capacity(0.3, "much")), lambda _: "unchecked")
    assert cell(register, "offtakes", "0012", "capacity_m3s") == 0.3


@pytest.mark.parametrize("step", ["write_rows", "put_standing", "history.record_edit"])
def test_whatever_breaks_an_edit_off_leaves_nothing_of_it(
    url: str, step: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Broken off after any of its steps, an edit is not there at all, and the next one is done."""
    real = operator.attrgetter(step)(editing)

    def break_off(*words: Any) -> None:
        real(*words)
        raise RuntimeError

    asked, register = edit(capacity(0.3, 0.35)), open_register(url)
    with monkeypatch.context() as patched:
        patched.setattr(f"slackwater.store.editing.{step}", break_off)
        with pytest.raises(RuntimeError):
            register.apply(asked, check)
    for each in (register, open_register(url)):
        assert each.standing().revision == 1
        assert len(each.history()) == 1
        assert cell(each, "offtakes", "0012", "capacity_m3s") == 0.3
        assert check(each.raw()) == each.standing().data_version
    assert not register.apply(asked, check).repeated
    register.close()
    each.close()


def test_history_can_be_told_of_some_tables_alone(register: Register) -> None:
    """Of an edit that touched others too only the changes of these are told, and that it did."""
    power = Change("offtakes", "0013", "power", None, "no")
    name = Change("options", "cone", "name", "Cone", "Cone screen")
    register.apply(edit(capacity(0.3, 0.35)), check)
    register.apply(edit(power, name), check)
    register.apply(edit(replace(name, old="Cone screen", new="Cone")), check)
    own = register.history(among={"options", "efficacy"})
    assert [past.seq for past in own] == [4, 3, 1]
    assert {change.table for past in own for change in past.changes} == {"options", "efficacy"}
    assert own[1].changes == (name,)
    assert register.touched_others([2, 3, 4], {"options", "efficacy"}) == {2, 3}
    assert register.touched_others([], {"options"}) == set()
