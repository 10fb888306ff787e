"""Does what is written read back as the same?"""

from __future__ import annotations

import dataclasses

import numpy as np
import openpyxl
import pytest
import shapely

from slackwater.catchment.table import Table
from slackwater.catchment.understand import understand
from slackwater.errors import UsageError
from slackwater.files.read import read_catchment
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
