"""Does what is written read back as the same?"""

from __future__ import annotations

import csv
import dataclasses
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import openpyxl
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from slackwater.catchment.contract import TABLES
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table
from slackwater.catchment.understand import understand
from slackwater.errors import UsageError
from slackwater.files.csv_table import read_csv_table
from slackwater.files.read import read_catchment
from slackwater.files.reading import Reading
from slackwater.files.template import write_template
from slackwater.files.unfinished import finished
from slackwater.files.write import write_folder, write_geopackage, write_workbook
from tests.files import tiny


@pytest.fixture
def catchment(tmp_path):
    understood = understand(read_catchment(tiny.save_folder(tmp_path / "umber")))
    assert understood.catchment is not None, understood.faults
    return understood.catchment


@pytest.mark.parametrize(("write", "name"), [
    (write_folder, "out"), (write_geopackage, "out.gpkg"), (write_workbook, "out.xlsx"),
])  # fmt: skip
def test_what_is_written_reads_back_as_the_same(catchment, tmp_path, write, name):
    """Ids, numbers to the last digit, dates, places and settings come back."""
    tables = dict(catchment.tables)
    if write is write_workbook:  # it cannot hold lines, so compare without them
        tables["reaches"] = dataclasses.replace(tables["reaches"], geometry=None)
    write(tables, catchment.settings, tmp_path / name)
    again = understand(read_catchment(tmp_path / name))
    assert again.catchment is not None, again.faults
    assert again.catchment.settings == catchment.settings
    for table in tables.values():
        _assert_same(again.catchment.tables[table.name], table)
    if write is not write_workbook:
        assert again.catchment.data_version == catchment.data_version


def _assert_same(again: Table, table: Table) -> None:
    assert list(again.columns) == list(table.columns)
    for column, values in table.columns.items():
        np.testing.assert_array_equal(again.columns[column], values, f"{table.name}.{column}")
    if table.geometry is not None:
        assert all(map(shapely.equals_identical, again.geometry, table.geometry))


def test_text_is_never_a_formula(catchment, tmp_path):
    """In a written workbook every text is a text cell, whatever it starts with."""
    write_workbook(catchment.tables, catchment.settings, tmp_path / "out.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "out.xlsx")["offtakes"]
    cells = {cell.value: cell.data_type for cell in next(sheet.iter_cols(4, 4, 2))}
    assert cells == {"00345": "s", "=1+1": "s"}


EVALUATED = ["=1+1", "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(1,1)", "\t=1", "\r=1", "\n=1", "-"]
TEXTS = [*EVALUATED, *(f"'{each}" for each in EVALUATED), "''=1", "'", "''", "it's", "'quoted'",
         "a\rb", "a\nb", "a\r\nb", 'a"b', "a,b", "=\"a\",\"b\"", " =1", "_x0041_"]  # fmt: skip


@given(
    texts=st.lists(
        st.text("=+-@\t\r\n'\",a ", min_size=1, max_size=6).filter(str.strip), max_size=5
    )
)
def test_no_cell_of_a_csv_is_evaluated_and_each_comes_back(texts):
    """OWASP ASVS 4.0.3, 5.3.10: whatever a text begins with, heads too; as it was when read."""
    texts = [*TEXTS, *texts]
    names = {f"{mark}head": np.array(texts, object) for mark in ("", "=", "'=", "-")}
    table = Table("prices", np.arange(len(texts)), names)
    with TemporaryDirectory() as folder:
        write_folder({"prices": table}, Settings("any", 7), Path(folder) / "out")
        path = Path(folder) / "out" / "prices.csv"
        with path.open(encoding="utf-8", newline="") as file:
            written = list(csv.reader(file))
        raw = read_csv_table(path, TABLES["prices"], Reading(10**6))
    assert not [cell for row in written for cell in row if cell[:1] in set("=+-@\t\r\n")]
    assert list(raw.cells) == list(names)
    assert all(list(cells) == texts for cells in raw.cells.values())


def test_numbers_of_a_csv_have_no_mark(catchment, tmp_path):
    """A number below zero is a number; so is one that a spreadsheet wrote as text."""
    (tmp_path / "prices.csv").write_text("item,amount\npower,'-2.5\nmount,-3\n")
    raw = read_csv_table(tmp_path / "prices.csv", TABLES["prices"], Reading(10**6))
    assert raw.cells["amount"] == ("-2.5", "-3")
    table = Table("prices", np.arange(1), {"amount": np.array([-3.25])})
    write_folder({"prices": table}, catchment.settings, tmp_path / "out")
    assert (tmp_path / "out" / "prices.csv").read_text() == "amount\n-3.25\n"


def test_no_cell_of_a_workbook_is_evaluated_and_each_comes_back(catchment, tmp_path):
    """Likewise in a sheet, where a text is a text cell and needs no mark."""
    texts = [text for text in TEXTS if text.strip()]
    table = Table("prices", np.arange(len(texts)), {"item": np.array(texts, object)})
    write_workbook({"prices": table}, catchment.settings, tmp_path / "out.xlsx")
    book = openpyxl.load_workbook(tmp_path / "out.xlsx")
    assert {cell.data_type for sheet in book for row in sheet for cell in row} <= {"s", "n", "b"}
    raw = read_catchment(tmp_path / "out.xlsx").tables["prices"]
    assert list(raw.cells["item"]) == texts


def test_no_cell_of_the_template_is_evaluated(tmp_path):
    """What it explains and what it can be copied from are texts and numbers."""
    write_template(tmp_path / "new.xlsx")
    book = openpyxl.load_workbook(tmp_path / "new.xlsx")
    assert not [cell for sheet in book for row in sheet for cell in row if cell.data_type == "f"]


def test_a_folder_with_files_is_left_alone(catchment, tmp_path):
    """Writing never mixes with what is there."""
    before = sorted((tmp_path / "umber").iterdir())
    with pytest.raises(UsageError):
        write_folder(catchment.tables, catchment.settings, tmp_path / "umber")
    assert sorted((tmp_path / "umber").iterdir()) == before


def test_settings_are_never_given_twice(catchment, tmp_path):
    """A GeoPackage is not written where a settings file beside it would clash."""
    (tmp_path / "out.toml").write_text("")
    with pytest.raises(UsageError):
        write_geopackage(catchment.tables, catchment.settings, tmp_path / "out.gpkg")


def test_a_failed_writing_leaves_what_was_there(tmp_path):
    """When writing breaks off, the old file stays and nothing else is left."""
    (tmp_path / "a.txt").write_text("old")

    def break_off():
        with finished(tmp_path / "a.txt") as partial:
            partial.write_text("half")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        break_off()
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]
    assert (tmp_path / "a.txt").read_text() == "old"


def test_a_sheet_that_is_too_short_is_said(catchment, tmp_path):
    """More rows than a sheet holds is bad usage, never a silent loss."""
    rows = np.arange(2**20)
    daily = Table("daily", rows, {"gauge_id": np.full(len(rows), "a", object)})
    with pytest.raises(UsageError):
        write_workbook({"daily": daily}, catchment.settings, tmp_path / "out.xlsx")
    assert not (tmp_path / "out.xlsx").exists()
