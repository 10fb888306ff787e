"""What is a workbook taken to say?"""

from __future__ import annotations

import zipfile
from contextlib import suppress
from datetime import date, datetime

import openpyxl
import pytest
import xlsxwriter

from slackwater.errors import InputFaults
from slackwater.files.read import read_catchment
from tests.files import tiny


def save(path, **sheets):
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def test_cells_keep_their_kind(tmp_path):
    """Numbers, text with leading zeros, dates and true arrive as what they are."""
    rows = [["item", "a", "b", "c", "d"],
            ["007", 12.0, 0.5, datetime(2020, 1, 2), True], [None] * 5, ["x", 12]]  # fmt: skip
    table = read_catchment(save(tmp_path / "a.xlsx", prices=rows)).tables["prices"]
    assert table.rows == (2, 4)
    assert table.cells["item"] == ("007", "x")
    assert table.cells["a"] == (12, 12)
    assert type(table.cells["a"][0]) is int
    assert table.cells["b"] == (0.5, None)
    assert table.cells["c"] == (date(2020, 1, 2), None)
    assert table.cells["d"] == (True, None)


def test_settings_nest_by_dots(tmp_path):
    """Keys with dots make tables, numbered criteria a list, low and high a pair."""
    rows = [["key", "value"], ["crs", "EPSG:28355"], [None, None], ["weights.risk", 0.5],
            ["year_weights.2018", 2], ["columns.offtakes.capacity_m3s", "MAX"],
            ["criterion.2.column", "b"], ["criterion.1.column", "a"],
            ["ranges.cost.low", 0.5], ["ranges.cost.high", 2], ["time_zone", None]]  # fmt: skip
    raw = read_catchment(save(tmp_path / "a.xlsx", catchment=rows))
    assert raw.faults == ()
    assert raw.settings == {
        "crs": "EPSG:28355",
        "weights": {"risk": 0.5},
        "year_weights": {"2018": 2},
        "columns": {"offtakes": {"capacity_m3s": "MAX"}},
        "criterion": [{"column": "a"}, {"column": "b"}],
        "ranges": {"cost": [0.5, 2]},
    }
    assert raw.settings_rows["weights.risk"] == 4
    assert raw.settings_rows["ranges.cost"] == 9


def test_settings_that_clash_are_told(tmp_path):
    """A key given twice, or as value and table, is a fault with its row."""
    rows = [["key", "value"], ["crs", "a"], ["crs", "b"], ["crs.x", 1], [None, 3]]
    found = tiny.codes(save(tmp_path / "a.xlsx", catchment=rows))
    assert found == [("catchment", 3, "duplicate_key"), ("catchment", 4, "duplicate_key"),
                     ("catchment", 5, "unknown_key")]  # fmt: skip


def test_error_cells_are_text(tmp_path):
    """An error cell arrives as what it shows."""
    book = xlsxwriter.Workbook(tmp_path / "a.xlsx")
    sheet = book.add_worksheet("prices")
    sheet.write_row(0, 0, ["item", "amount"])
    sheet.write_formula(1, 1, "=NA()", None, "#N/A")
    book.close()
    raw = read_catchment(tmp_path / "a.xlsx")
    assert raw.tables["prices"].cells["amount"] == ("#N/A",)


def test_a_computed_formula_is_its_value(tmp_path):
    """A formula cell gives the value that was last computed."""
    book = xlsxwriter.Workbook(tmp_path / "a.xlsx")
    sheet = book.add_worksheet("prices")
    sheet.write_row(0, 0, ["item", "amount"])
    sheet.write_formula(1, 1, "=3+4", None, 7)
    book.close()
    raw = read_catchment(tmp_path / "a.xlsx")
    assert (raw.tables["prices"].cells["amount"], raw.faults) == ((7,), ())


def test_a_formula_never_computed_is_a_fault(tmp_path):
    """A formula without a value is told with its cell, not read as empty."""
    path = save(tmp_path / "a.xlsx", prices=[["item", "amount"], ["power", "=1+1"]])
    (fault,) = read_catchment(path).faults
    assert (fault.table, fault.row, fault.code) == ("prices", 2, "formula")
    assert "B2" in fault.remedy


def test_what_unpacks_to_too_much_is_refused(tmp_path):
    """A small file that unpacks beyond the limit is not opened."""
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b" " * 5_000_000)
    assert path.stat().st_size < 10_000
    with pytest.raises(InputFaults) as refused:
        read_catchment(path, limit_bytes=1_000_000)
    assert [fault.code for fault in refused.value.faults] == ["too_large"]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0"])
def test_what_is_no_workbook_is_refused(tmp_path, data):
    """A damaged or protected file is one fault."""
    (tmp_path / "a.xlsx").write_bytes(data)
    with pytest.raises(InputFaults) as refused:
        read_catchment(tmp_path / "a.xlsx")
    assert [fault.code for fault in refused.value.faults] == ["unreadable"]


def test_a_workbook_with_a_broken_part_is_refused(tmp_path):
    """XML that does not parse is a fault, not a crash."""
    whole = save(tmp_path / "a.xlsx", prices=[["item"], ["power"]])
    with zipfile.ZipFile(whole) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    for broken in parts:
        with zipfile.ZipFile(tmp_path / "b.xlsx", "w") as packed:
            for name, data in parts.items():
                packed.writestr(name, data[: len(data) // 2] if name == broken else data)
        # Styles and properties can be done without; nothing but a fault may come of the rest.
        with suppress(InputFaults):
            read_catchment(tmp_path / "b.xlsx")
