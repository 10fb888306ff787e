"""What is a Shapefile taken to say?"""

from __future__ import annotations

import pyogrio
import pytest

from slackwater.files.read import read_catchment
from slackwater.files.shapefile_table import encoding_of_code_page
from tests.files import tiny


@pytest.fixture
def folder(tmp_path):
    return tiny.save_shapefiles(tmp_path / "shapes", "cp1252")


def holders(folder):
    return read_catchment(folder).tables["offtakes"].cells["HOLDER"]


def test_the_declared_encoding_is_used(folder):
    """Text reads right by the .cpg file."""
    assert holders(folder)[0] == "Zoë Åkerlund"


def test_the_settings_encoding_comes_first(folder):
    """[encoding] wins over a .cpg file that is wrong."""
    (folder / "offtakes.cpg").write_text("UTF-8")
    with (folder / "catchment.toml").open("a") as file:
        file.write('[encoding]\nofftakes = "cp1252"\n')
    assert holders(folder)[0] == "Zoë Åkerlund"


def test_an_undeclared_encoding_is_a_fault_not_a_guess(folder):
    """Without .cpg the text must be UTF-8; what is not is told with record and column."""
    (folder / "offtakes.cpg").unlink()
    (fault,) = read_catchment(folder).faults
    assert (fault.table, fault.row, fault.column) == ("offtakes", 1, "HOLDER")
    assert fault.code == "encoding"


def test_column_names_are_decoded_too(tmp_path):
    """A DBF column name outside ASCII reads in the table's encoding."""
    frame = tiny.frame_of([{"Fläche": "ä", "geometry": tiny.shapely.Point(1, 2)}])
    pyogrio.write_dataframe(frame, tmp_path / "gauges.shp", encoding="cp1252")
    assert read_catchment(tmp_path).tables["gauges"].cells == {"Fläche": ["ä"]}


def test_without_prj_there_is_no_system(folder):
    """The reference system is that of the .prj file, "" without one."""
    assert read_catchment(folder).tables["offtakes"].crs == "EPSG:4326"
    (folder / "offtakes.prj").unlink()
    assert read_catchment(folder).tables["offtakes"].crs == ""


@pytest.mark.parametrize("ending", [".dbf", ".shx"])
def test_a_missing_part_is_told(folder, ending):
    """A Shapefile without its table or index is unreadable, and says what is missing."""
    (folder / f"offtakes{ending}").unlink()
    (fault,) = read_catchment(folder).faults
    assert (fault.table, fault.code) == ("offtakes", "unreadable")
    assert f"offtakes{ending}" in fault.remedy


@pytest.mark.parametrize(("text", "name"), [
    ("UTF-8", "UTF-8"), ("65001", "utf-8"), ("1252", "cp1252"), ("ANSI 1252", "cp1252"),
    ("88591", "iso8859-1"), ("ISO 8859-15", "ISO-8859-15"), ("Big 9", ""),
])  # fmt: skip
def test_code_pages_by_their_many_names(text, name):
    """What .cpg files hold is understood, or refused."""
    assert encoding_of_code_page(text) == name
