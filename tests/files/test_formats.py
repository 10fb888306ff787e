"""Does the same catchment read the same from every format?"""

from __future__ import annotations

from pathlib import Path

import pytest

from slackwater.files.read import read_catchment
from tests.files import tiny


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tiny.save_folder(tmp_path / "umber")


def test_geopackage_says_the_same(folder, tmp_path):
    """One GeoPackage with its settings inside gives the data version of the folder."""
    expected = tiny.version_of(folder)
    assert len(expected) == 12
    assert tiny.version_of(tiny.save_geopackage(tmp_path / "umber.gpkg")) == expected


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252"])
def test_shapefiles_with_renamed_columns_say_the_same(folder, tmp_path, encoding):
    """Short DBF names and another encoding, both declared, change nothing."""
    shapefiles = tiny.save_shapefiles(tmp_path / "shapes", encoding)
    assert tiny.version_of(shapefiles) == tiny.version_of(folder)


def test_csv_points_say_the_same(folder):
    """Points as lon, lat columns of a CSV file give what GeoJSON gives."""
    expected = tiny.version_of(folder)
    for name in ("gauges", "offtakes"):
        (folder / f"{name}.geojson").unlink()
        tiny.save_csv(tiny.tables()[name], folder / f"{name}.csv")
    assert tiny.version_of(folder) == expected


def test_workbook_says_the_same_but_for_lines(folder, tmp_path):
    """A workbook gives every cell and point of the folder, settings included."""
    book = read_catchment(tiny.save_workbook(tmp_path / "umber.xlsx"))
    first = read_catchment(folder)
    assert book.faults == ()
    assert book.settings == first.settings
    assert book.tables["reaches"].geometry is None
    for name, table in first.tables.items():
        other = book.tables[name]
        for column, cells in table.cells.items():
            assert [_plain(cell) for cell in other.cells[column]] == [
                _plain(cell) for cell in cells
            ], f"{name}.{column}"
    points = [point.wkt for point in first.tables["offtakes"].geometry]
    assert [point.wkt for point in book.tables["offtakes"].geometry] == points


def _plain(cell):
    """Give numbers as numbers whether text or not, to the 15 digits openpyxl surely writes."""
    try:
        return float(f"{float(cell):.15g}")
    except (TypeError, ValueError):
        return "" if cell is None else str(cell)


def test_a_geopackage_of_one_table_stands_in_a_folder(folder):
    """A folder's table may come as NAME.gpkg."""
    expected = tiny.version_of(folder)
    (folder / "gauges.geojson").unlink()
    tiny.pyogrio.write_dataframe(
        tiny.frame_of(tiny.tables()["gauges"]), folder / "gauges.gpkg", layer="any name"
    )
    assert tiny.version_of(folder) == expected


def test_rows_are_numbered_as_their_user_sees_them(folder, tmp_path):
    """Lines and sheet rows count the header as 1, features from 1, a GeoPackage its fid."""
    first = read_catchment(folder).tables
    assert first["prices"].rows == (2,)
    assert first["offtakes"].rows == (1, 2)
    book = read_catchment(tiny.save_workbook(tmp_path / "umber.xlsx")).tables
    assert book["offtakes"].rows == (2, 3)
    package = read_catchment(tiny.save_geopackage(tmp_path / "umber.gpkg")).tables
    assert package["offtakes"].rows == (1, 2)
    shapes = read_catchment(tiny.save_shapefiles(tmp_path / "shapes")).tables
    assert shapes["offtakes"].rows == (1, 2)


def test_names_come_from_the_path(folder, tmp_path):
    """The default name is the folder's, or the file's without its ending."""
    assert read_catchment(folder).default_name == "umber"
    package = tiny.save_geopackage(tmp_path / "umber.east.gpkg")
    assert read_catchment(package).default_name == "umber.east"
