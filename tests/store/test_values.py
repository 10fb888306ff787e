"""Values that say the same are the same, however they were sent; differences go by key."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
import shapely

from slackwater.catchment.contract import TABLES
from slackwater.errors import EditConflict, UsageError
from slackwater.store import Change, Given, of_given, with_changes
from slackwater.store.differences import differences
from slackwater.store.editions import packed, unpacked
from slackwater.store.stored import raw_table
from slackwater.store.values import same, stored_cell, stored_place, told_value
from tests.store.said import check

OFFTAKES = TABLES["offtakes"].by_name


@pytest.mark.parametrize(("column", "sent", "stored"), [
    ("capacity_m3s", 1, 1.0), ("capacity_m3s", " 0.30 ", 0.3), ("capacity_m3s", "", None),
    ("capacity_m3s", "1,000", "1,000"), ("capacity_m3s", True, True),
    ("licence", 345, "345"), ("licence", " 00345 ", "00345"), ("label", " ", None),
    ("label", " a ", " a "), ("observed_on", "2021-03-04", date(2021, 3, 4)),
    ("observed_on", "4/3/2021", "4/3/2021"), ("kind", "fixed_suction", "fixed_suction"),
    ("fitted", None, None),
])  # fmt: skip
def test_a_cell_has_one_form(column: str, sent: object, stored: object) -> None:
    """Numbers are floats, blanks None, ids stripped, dates dates; what is at fault stays."""
    found = stored_cell(OFFTAKES[column], sent)
    assert (type(found), found) == (type(stored), stored)


@pytest.mark.parametrize(
    "value", [[100.5, -36.25], {"type": "Point", "coordinates": [100.5, -36.25]}]
)
def test_a_place_may_be_a_pair_or_geojson(value: object) -> None:
    """Both are the same point, told as a pair; a line is told as GeoJSON."""
    assert same(stored_place(value), shapely.Point(100.5, -36.25))
    assert told_value(stored_place(value)) == [100.5, -36.25]
    line = {"type": "LineString", "coordinates": [[0.1, 0.2], [0.3, 0.30000000000000004]]}
    assert told_value(stored_place(line)) == line


@pytest.mark.parametrize("value", [[1], [1, 2, 3], "here", 7, {"type": "Circle"}, ["a", "b"]])
def test_what_is_no_place_is_refused(value: object) -> None:
    """Anything else is bad usage."""
    with pytest.raises(UsageError):
        stored_place(value)


def test_a_changed_catchment_leaves_the_old_one(umber: Given) -> None:
    """Changes give a new catchment; the one they started from says what it said."""
    before = of_given(umber)
    version = check(before)
    after = with_changes(before, [Change("offtakes", "0012", "capacity_m3s", 0.3, "0.35")])
    assert after.tables["offtakes"].cells["capacity_m3s"][0] == 0.35
    assert after.tables["daily"] is before.tables["daily"]
    assert check(before) == version != check(after)


def test_later_changes_of_one_edit_see_earlier_ones(umber: Given) -> None:
    """Within an edit each change takes the cell to be what the one before left."""
    first = Change("offtakes", "0012", "capacity_m3s", 0.3, 0.4)
    after = with_changes(of_given(umber), [first, replace(first, old=0.4, new=0.5)])
    assert after.tables["offtakes"].cells["capacity_m3s"][0] == 0.5
    with pytest.raises(EditConflict):
        with_changes(of_given(umber), [first, first])


def test_a_row_is_renamed_with_all_that_name_it(umber: Given) -> None:
    """A key changes like any cell; a row keeps the key it had until the edit is done."""
    after = with_changes(of_given(umber), [
        Change("options", "cone", "option_id", "cone", "drum"),
        Change("options", "cone", "name", "Cone", "Drum"),
        Change("efficacy", "cone/dace", "option_id", "cone", "drum"),
    ])  # fmt: skip
    assert check(after)
    assert list(after.tables["efficacy"].cells["option_id"]) == ["drum"]


def test_order_alone_is_no_difference(umber: Given) -> None:
    """Rows in another order, with a key or without, are the same rows."""
    cells = {"reach_id": ["01", "01", "02"], "survival": [0.5, 0.5, 0.75]}
    one = replace(
        umber, tables={**umber.tables, "weirs": raw_table("weirs", (1, 2, 3), cells, None)}
    )
    turned = {}
    for name, table in one.tables.items():
        places = None if table.geometry is None else table.geometry[::-1]
        columns = {column: values[::-1] for column, values in table.cells.items()}
        turned[name] = raw_table(name, table.rows, columns, places)
    assert differences(of_given(one), of_given(replace(one, tables=turned))) == {}
    fewer = {"reach_id": ["02", "01"], "survival": [0.75, 0.5]}
    less = replace(one, tables={**turned, "weirs": raw_table("weirs", (1, 2), fewer, None)})
    (found,) = differences(of_given(one), of_given(less)).values()
    assert (found.added, found.removed, found.changed) == (0, 1, 0)


def test_an_edition_unpacks_to_the_last_digit(umber: Given) -> None:
    """Packed and unpacked, a catchment does not differ in any cell, place or setting."""
    before = of_given(umber)
    after = unpacked(packed(before))
    assert differences(before, after) == {}
    assert (after.settings_text, after.default_name) == (before.settings_text, before.default_name)
    assert check(after) == check(before)
