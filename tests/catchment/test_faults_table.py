"""Each fault in each table and column where it can stand, planted alone, is found alone."""

from __future__ import annotations

from typing import Any

import pytest

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Field, Kind
from tests.catchment.small import Small, only_fault, small

Planted = tuple[str, str]

EVERY = [(name, field.name) for name, spec in TABLES.items() for field in spec.fields]


def _described(planted: Planted) -> Field:
    return TABLES[planted[0]].by_name[planted[1]]


def _those(*kinds: Kind) -> list[Planted]:
    return [each for each in EVERY if _described(each).kind in kinds]


NUMBERS = _those(Kind.NUMBER, Kind.INTEGER)
BOUNDED_BELOW = [each for each in NUMBERS if _described(each).least is not None]
ABOVE_ZERO = [each for each in NUMBERS if _described(each).above_zero]
BOUNDED_ABOVE = [each for each in NUMBERS if _described(each).most is not None]
WHOLE = _those(Kind.INTEGER)
TEXTS = _those(Kind.ID, Kind.TEXT)
NEEDED = [each for each in EVERY if _described(each).needed]
REFERENCES = [each for each in EVERY if _described(each).refers_to]
KEYED = [name for name, spec in TABLES.items() if spec.key]


def assert_cell_fault(planted: Planted, position: int, value: Any, code: str) -> None:
    """Plant a value in a cell: one fault, naming that cell."""
    table, column = planted
    of = small()
    key_before = key_of(of, table, position)
    of.set(table, position, column, value)
    fault = only_fault(of)
    row = of.tables[table].rows[position]
    assert (fault.table, fault.row, fault.column) == (table, row, column)
    assert fault.code == code
    if column not in TABLES[table].key:
        assert fault.key == key_before


def key_of(of: Small, table: str, position: int) -> str:
    """Give a row's key as text."""
    cells = of.tables[table].cells
    return "/".join(str(cells[name][position]) for name in TABLES[table].key)


def test_nothing_planted_nothing_found() -> None:
    """The small catchment itself has no fault and no warning."""
    understood = small().understood()
    assert understood.faults == ()
    assert understood.warnings == ()
    assert understood.catchment is not None


@pytest.mark.parametrize("planted", BOUNDED_BELOW, ids="-".join)
def test_negative(planted: Planted) -> None:
    """A number below 0 is a fault in every column that may not be negative."""
    assert_cell_fault(planted, 0, "-1", "negative")


@pytest.mark.parametrize("planted", NUMBERS, ids="-".join)
@pytest.mark.parametrize(
    "value", ["12 m", "1,000", "1_000", "nan", "inf", "٣", "0x10", True, "--1"]
)
def test_no_number(planted: Planted, value: Any) -> None:
    """What is not digits, a point and an exponent is no number in any numeric column."""
    assert_cell_fault(planted, 0, value, "not_a_number")


@pytest.mark.parametrize("planted", NUMBERS, ids="-".join)
@pytest.mark.parametrize(
    "value",
    ["1e999", float("inf"), float("nan"), 10**400],
    ids=["text", "infinite", "nan", "a whole number too large"],
)
def test_not_finite(planted: Planted, value: Any) -> None:
    """A number that is not finite is a fault in every numeric column, typed or as text."""
    assert_cell_fault(planted, 0, value, "not_finite")


@pytest.mark.parametrize("planted", ABOVE_ZERO, ids="-".join)
@pytest.mark.parametrize("value", ["0", 0, 0.0, "-0", "0e5"])
def test_not_above_zero(planted: Planted, value: Any) -> None:
    """0 is a fault wherever the number must be above 0, however it is written."""
    assert_cell_fault(planted, 0, value, "not_above_zero")


@pytest.mark.parametrize("planted", BOUNDED_ABOVE, ids="-".join)
def test_out_of_range(planted: Planted) -> None:
    """A share above 1, or any number above its bound, is a fault."""
    most = _described(planted).most
    assert most is not None
    assert_cell_fault(planted, 0, str(most + 1 if most > 1 else 1.5), "out_of_range")


@pytest.mark.parametrize("planted", WHOLE, ids="-".join)
def test_not_whole(planted: Planted) -> None:
    """A broken number is a fault where whole ones are counted."""
    assert_cell_fault(planted, 0, "1.5", "not_whole")


def test_no_stage() -> None:
    """A drift time has at least one stage."""
    assert_cell_fault(("guilds", "drift_stages"), 0, "0", "out_of_range")


@pytest.mark.parametrize("planted", TEXTS, ids="-".join)
@pytest.mark.parametrize("mark", ["\t", "\n", "\x00", "\x7f", "\x85"])
def test_control_character(planted: Planted, mark: str) -> None:
    """A control character is a fault in every text and id column, tab and line end too."""
    assert_cell_fault(planted, 0, f"a{mark}b", "control_character")


@pytest.mark.parametrize("planted", TEXTS, ids="-".join)
def test_too_long(planted: Planted) -> None:
    """More than 10,000 characters, or 200 in an id, is a fault in every text column."""
    at_most = 200 if _described(planted).kind is Kind.ID else 10_000
    assert_cell_fault(planted, 0, "x" * (at_most + 1), "too_long")


@pytest.mark.parametrize("planted", _those(Kind.WORD, Kind.WORDS), ids="-".join)
@pytest.mark.parametrize("value", ["sometimes", "YES", True])
def test_unknown_word(planted: Planted, value: Any) -> None:
    """A word that is not of the list, upper case counted, is a fault in every word column."""
    assert_cell_fault(planted, 0, value, "unknown_word")


@pytest.mark.parametrize("planted", _those(Kind.DATE), ids="-".join)
@pytest.mark.parametrize(
    "value", ["2019-02-30", "2019-1-5", "05/01/2019", "2019", "20190105", "1066-10-14", 43586]
)
def test_bad_date(planted: Planted, value: Any) -> None:
    """What is not a day of the calendar as YYYY-MM-DD is a fault in every date column."""
    assert_cell_fault(planted, 0, value, "bad_date")


@pytest.mark.parametrize("planted", _those(Kind.DAY), ids="-".join)
@pytest.mark.parametrize("value", ["02-30", "13-01", "3-1", "1 March", "2019-03-01"])
def test_bad_day(planted: Planted, value: str) -> None:
    """What is not a day of the year as MM-DD is a fault in every such column."""
    assert_cell_fault(planted, 0, value, "bad_day")


@pytest.mark.parametrize("planted", NEEDED, ids="-".join)
@pytest.mark.parametrize("empty", ["", None, "  "])
def test_empty_cell(planted: Planted, empty: Any) -> None:
    """An empty cell is a fault in every column that needs one filled."""
    assert_cell_fault(planted, 0, empty, "empty_cell")


@pytest.mark.parametrize("planted", NEEDED, ids="-".join)
def test_missing_column(planted: Planted) -> None:
    """A missing column that is needed is one fault of the whole table."""
    table, column = planted
    of = small()
    del of.tables[table].cells[column]
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.column, fault.code) == (
        table,
        None,
        column,
        "missing_column",
    )


@pytest.mark.parametrize("planted", EVERY, ids="-".join)
def test_renamed_to_nothing(planted: Planted) -> None:
    """A column that the settings rename to one the file does not have is one fault."""
    table, column = planted
    of = small()
    of.settings["columns"] = {table: {column: "THEIRS"}}
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.column, fault.value, fault.code) == (
        table,
        None,
        column,
        "THEIRS",
        "missing_column",
    )


@pytest.mark.parametrize("table", TABLES)
def test_missing_table(table: str) -> None:
    """A missing table is one fault where it is needed, none where it may be missing."""
    of = small()
    del of.tables[table]
    if not TABLES[table].needed:
        assert of.understood().faults == ()
        return
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.code) == (table, None, "missing_table")


@pytest.mark.parametrize("planted", REFERENCES, ids="-".join)
def test_dangling_key(planted: Planted) -> None:
    """A reference to a row that is not there is one fault at the cell that makes it."""
    assert_cell_fault(planted, 0, "nowhere", "dangling_key")


@pytest.mark.parametrize("table", KEYED)
def test_duplicate_key(table: str) -> None:
    """A key that stands twice is one fault, at the second row."""
    of = small()
    row = of.append(table, 0)
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.key) == (table, row, key_of(of, table, 0))
    assert fault.code == ("date_twice" if "date" in TABLES[table].key else "duplicate_key")


@pytest.mark.parametrize("table", ["reaches", "gauges", "guilds", "offtakes", "options"])
def test_renamed_to_another(table: str) -> None:
    """A row given another's id is one fault: what refers to its lost id is not a second."""
    of = small()
    key = TABLES[table].key[0]
    of.set(table, 1, key, of.tables[table].cells[key][0])
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.column, fault.code) == (
        table,
        of.tables[table].rows[1],
        key,
        "duplicate_key",
    )


def test_copy_and_dangling_key() -> None:
    """A row that stands twice does not hide a reference that leads nowhere."""
    of = small()
    of.append("reaches", 0)
    of.set("production", 0, "reach_id", "nowhere")
    codes = {(fault.table, fault.code) for fault in of.understood().faults}
    assert codes == {("reaches", "duplicate_key"), ("production", "dangling_key")}


def test_unknown_gauge_of_many_days() -> None:
    """A gauge that no row describes is one fault for all of its days."""
    of = small()
    for position in range(365, 730):
        of.set("daily", position, "gauge_id", "G9")
    of.set("reaches", 1, "gauge_id", "G1")
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.column, fault.value) == ("daily", 367, "gauge_id", "G9")
    assert "365 rows" in fault.remedy
