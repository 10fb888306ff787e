"""Does the empty workbook explain itself, and read back as empty?"""

from __future__ import annotations

import openpyxl
import pytest

from slackwater.catchment.contract import SETTINGS, TABLES
from slackwater.catchment.fields import Kind
from slackwater.errors import UsageError
from slackwater.files.read import read_catchment
from slackwater.files.template import write_template


@pytest.fixture
def path(tmp_path):
    write_template(tmp_path / "template.xlsx")
    return tmp_path / "template.xlsx"


def test_data_sheets_read_back_empty_with_every_column(path):
    """Each table is there without rows, its columns those of the contract."""
    raw = read_catchment(path)
    assert raw.faults == ()
    assert raw.settings == {}
    for name, spec in TABLES.items():
        assert raw.tables[name].rows == ()
        assert list(raw.tables[name].cells) == list(spec.by_name)
        assert (raw.tables[name].geometry is not None) == (spec.shape == "point")


def test_every_column_and_setting_is_explained(path):
    """Sheet about has a line for each column and setting with unit and meaning."""
    sheet = openpyxl.load_workbook(path)["about"]
    lines = {row[:2]: row[2:6] for row in sheet.iter_rows(values_only=True)}
    for spec in TABLES.values():
        for field in spec.fields:
            unit, needed, _, meaning = lines[spec.name, field.name]
            assert (unit or "", needed == "yes") == (field.unit, field.needed)
            assert meaning == field.meaning
    for field in SETTINGS:
        assert ("catchment", field.name) in lines


def test_needed_columns_are_marked_and_words_offered(path):
    """Needed headers are coloured, each closed list is a drop-down on its column."""
    book = openpyxl.load_workbook(path)
    for name, spec in TABLES.items():
        sheet = book[name]
        headers = {cell.value: cell for cell in sheet[1]}
        offered = {
            str(rule.sqref).split(":")[0].rstrip("0123456789"): rule.formula1
            for rule in sheet.data_validations.dataValidation
        }
        for field in spec.fields:
            cell = headers[field.name]
            assert (cell.fill.fgColor.rgb == "FFFFE699") == field.needed
            assert field.meaning in cell.comment.text
            if field.kind is Kind.WORD:
                assert offered[cell.column_letter] == f'"{",".join(field.words)}"'


def test_every_library_row_names_its_source(path):
    """No published value stands without where it comes from."""
    book = openpyxl.load_workbook(path)
    for name in ("library_guilds", "library_options", "library_efficacy", "criteria_library"):
        header, *rows = book[name].iter_rows(values_only=True)
        assert rows
        assert all(row[header.index("source")] for row in rows)


def test_library_columns_are_those_to_copy_into(path):
    """A library sheet has its table's columns, so rows can be copied whole."""
    book = openpyxl.load_workbook(path)
    for name in ("guilds", "options", "efficacy"):
        header = [cell.value for cell in book[f"library_{name}"][1]]
        assert header == list(TABLES[name].by_name)


def test_what_is_there_is_not_overwritten(path):
    """A second template of that name is refused, and so is another ending."""
    for other in (path, path.with_suffix(".xls")):
        with pytest.raises(UsageError):
            write_template(other)
