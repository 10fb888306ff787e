"""What is a CSV file taken to say?"""

from __future__ import annotations

import pytest

from slackwater.catchment.raw import UNREADABLE
from slackwater.files.read import read_catchment
from tests.files import tiny


@pytest.fixture
def folder(tmp_path):
    return tmp_path


def write(folder, name, text, encoding="utf-8"):
    (folder / name).write_bytes(text.encode(encoding))
    return read_catchment(folder)


def test_text_stays_text(folder):
    """Leading zeros, signs and spaces are kept; an empty cell is None."""
    raw = write(folder, "prices.csv", "item,kind,amount\npower,,007\nmount, a ,+1e3\n")
    cells = raw.tables["prices"].cells
    assert cells["amount"] == ("007", "+1e3")
    assert cells["kind"] == (None, " a ")


def test_a_mark_at_the_start_is_no_text(folder):
    """UTF-8 reads the same with and without a byte order mark."""
    raw = write(folder, "prices.csv", "item,amount\npower,1\n", "utf-8-sig")
    assert list(raw.tables["prices"].cells) == ["item", "amount"]


def test_rows_are_physical_lines(folder):
    """A row's number is the line it starts on, past quoted line ends and blank lines."""
    text = 'item,amount,source\r\npower,1,"two\r\nlines"\r\n\r\n,,\r\nmount,2,x\r\n'
    table = write(folder, "prices.csv", text).tables["prices"]
    assert table.rows == (2, 6)
    assert table.cells["source"] == ("two\r\nlines", "x")


def test_a_named_encoding_is_used(folder):
    """CSV in an encoding the settings name, for the table or for all, reads right."""
    for key in ("prices", "all"):
        (folder / "catchment.toml").write_text(f'[encoding]\n{key} = "cp1252"\n')
        raw = write(folder, "prices.csv", "item,amount,source\npower,1,Zoë €\n", "cp1252")
        assert raw.faults == ()
        assert raw.tables["prices"].cells["source"] == ("Zoë €",)


def test_bytes_that_do_not_fit_name_their_line(folder):
    """Text that is not UTF-8 is a fault at its line, with what to write in the settings."""
    raw = write(folder, "prices.csv", "item,source\npower,a\nmount,Zoë\n", "cp1252")
    (fault,) = raw.faults
    assert (fault.table, fault.row, fault.code) == ("prices", 3, "encoding")
    assert "[encoding]" in fault.remedy
    assert "prices" not in raw.tables


@pytest.mark.parametrize("name", ['"no-such-code"', '"hex"', "7"])
def test_an_unknown_encoding_is_a_fault(folder, name):
    """An encoding Python does not know is reported as the setting it is."""
    (folder / "catchment.toml").write_text(f"[encoding]\nall = {name}\n")
    (fault,) = write(folder, "prices.csv", "item,amount\n").faults
    assert (fault.table, fault.column, fault.code) == ("catchment", "encoding.all", "encoding")


def test_a_cell_too_many_is_a_fault(folder):
    """A decimal comma pushes cells beyond the header, even where those are empty."""
    raw = write(folder, "prices.csv", "item,amount,kind\npower,1,5,\nmount,2,x\naccess\n")
    assert [(f.row, f.code) for f in raw.faults] == [(2, "ragged_row")]
    assert raw.tables["prices"].cells["kind"][2] is None


def test_cells_under_no_name_are_a_fault(folder):
    """A value below an empty header cell is not dropped in silence; empty ones are."""
    raw = write(folder, "prices.csv", "item,amount,,\npower,1,,\nmount,2,9,\n")
    assert [(f.row, f.value, f.code) for f in raw.faults] == [(3, "9", "ragged_row")]


def test_a_name_twice_is_a_fault(folder):
    """Two columns of one name are reported by that name."""
    (fault,) = write(folder, "prices.csv", "item,amount,item\npower,1,2\n").faults
    assert (fault.row, fault.column, fault.code) == (1, "item", "duplicate_column")


@pytest.mark.parametrize("text", ["", "\n\n", 'item,amount\npower,"1\n', "item;amount\npower;1\n"])
def test_what_cannot_be_split_is_unreadable(folder, text):
    """No header, an open quote or another separator is one fault and no table."""
    raw = write(folder, "prices.csv", text)
    assert [(f.table, f.code) for f in raw.faults] == [("prices", "unreadable")]
    assert raw.tables == {}


def test_points_come_from_degrees(folder):
    """lon, lat of a point table become WGS84 points and are no cells any more."""
    raw = write(folder, "gauges.csv", "gauge_id,lon,lat\n1,146.5,-36\n2,,\n")
    table = raw.tables["gauges"]
    assert table.crs == "EPSG:4326"
    assert (table.geometry[0].x, table.geometry[0].y) == (146.5, -36)
    assert table.geometry[1] is None
    assert list(table.cells) == ["gauge_id"]


def test_points_come_from_metres(folder):
    """x, y are in the settings' reference system, or in none where they name none."""
    text = "gauge_id,x,y\n1,5e5,6e6\n"
    assert write(folder, "gauges.csv", text).tables["gauges"].crs == ""
    (folder / "catchment.toml").write_text('crs = "EPSG:28355"\n')
    table = read_catchment(folder).tables["gauges"]
    assert (table.crs, table.geometry[0].x) == ("EPSG:28355", 500000)


def test_coordinate_columns_may_be_renamed(folder):
    """[columns.TABLE] lon and lat name the agency's columns."""
    (folder / "catchment.toml").write_text('[columns.gauges]\nlon = "LONG"\nlat = "LATI"\n')
    table = write(folder, "gauges.csv", "gauge_id,LONG,LATI\n1,1,2\n").tables["gauges"]
    assert table.geometry[0].wkt == "POINT (1 2)"
    assert list(table.cells) == ["gauge_id"]


@pytest.mark.parametrize("bad", ["146,5", "1 46", "146°", "nan", "inf", "1e999", "٣", "0x1F", ""])
def test_a_bad_coordinate_names_its_cell(folder, bad):
    """A coordinate that is no plain number is a fault with row, key, column and value."""
    raw = write(folder, "gauges.csv", f'gauge_id,lon,lat\n07,"{bad}",-36\n')
    (fault,) = raw.faults
    assert (fault.row, fault.key, fault.column) == (2, "07", "lon")
    assert (fault.value, fault.code) == (bad, "not_a_number")
    assert raw.tables["gauges"].geometry == [UNREADABLE]


def test_other_tables_keep_columns_named_x(folder):
    """lon and lat are only coordinates where rows are points."""
    raw = write(folder, "reaches.csv", "reach_id,lon,lat\n1,a,b\n")
    assert raw.tables["reaches"].geometry is None
    assert raw.tables["reaches"].cells["lon"] == ("a",)


def test_one_daily_record_reads_whole(tmp_path):
    """Every day of the tiny catchment's record is there, in order."""
    table = read_catchment(tiny.save_folder(tmp_path / "umber")).tables["daily"]
    assert len(table.rows) == 366
    assert table.rows[-1] == 367
    assert table.cells["date"][-1] == "2020-06-30"
