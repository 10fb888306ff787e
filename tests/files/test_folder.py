"""Which files of a folder are used, and which are refused?"""

from __future__ import annotations

import pytest

from slackwater.errors import InputFaults, UsageError
from slackwater.files.read import read_catchment
from tests.files import tiny


@pytest.fixture
def folder(tmp_path):
    return tiny.save_folder(tmp_path / "umber")


def test_other_files_are_ignored(folder):
    """Files without a contract name, and folders named like one, are no business of ours."""
    (folder / "Offtakes.csv").write_text("x")
    (folder / "notes.txt").write_text("x")
    (folder / "weirs.csv").mkdir()
    raw = read_catchment(folder)
    assert raw.faults == ()
    assert set(raw.tables) == set(tiny.tables())


def test_endings_may_be_capitals(folder):
    """PRICES has to be prices, but .CSV is .csv."""
    (folder / "prices.csv").rename(folder / "prices.CSV")
    assert "prices" in read_catchment(folder).tables


def test_two_formats_of_one_table_are_a_fault(folder):
    """offtakes as GeoJSON and CSV is told with both names; the other checks still see one."""
    tiny.save_csv(tiny.tables()["offtakes"], folder / "offtakes.csv")
    raw = read_catchment(folder)
    (fault,) = raw.faults
    assert (fault.table, fault.code) == ("offtakes", "two_formats")
    assert "offtakes.geojson" in fault.value
    assert "offtakes.csv" in fault.value
    assert "offtakes" in raw.tables


@pytest.mark.parametrize("name", ["prices.csv", "catchment.toml"])
def test_a_symbolic_link_is_not_followed(folder, tmp_path, name):
    """A link among the used files is a fault, what it points to stays unread."""
    (folder / name).rename(tmp_path / "elsewhere")
    (folder / name).symlink_to(tmp_path / "elsewhere")
    raw = read_catchment(folder)
    assert [f.code for f in raw.faults] == ["symbolic_link"]
    assert name != "prices.csv" or "prices" not in raw.tables


def test_a_link_to_part_of_a_shapefile_is_not_followed(tmp_path):
    """The DBF of a Shapefile must be a file too."""
    folder = tiny.save_shapefiles(tmp_path / "shapes")
    (folder / "gauges.dbf").rename(tmp_path / "elsewhere")
    (folder / "gauges.dbf").symlink_to(tmp_path / "elsewhere")
    assert tiny.codes(folder) == [("gauges", None, "symbolic_link")]


def test_the_path_itself_is_no_link(folder, tmp_path):
    """A catchment given as a symbolic link is refused whole."""
    (tmp_path / "link").symlink_to(folder)
    with pytest.raises(InputFaults) as refused:
        read_catchment(tmp_path / "link")
    assert [fault.code for fault in refused.value.faults] == ["symbolic_link"]


def test_too_large_a_file_is_not_opened(folder, monkeypatch):
    """The limit is the argument's, else the environment's in megabytes."""
    size = (folder / "daily.csv").stat().st_size
    assert tiny.codes(folder, limit_bytes=size - 1) == [("daily", None, "too_large")]
    assert tiny.codes(folder, limit_bytes=size) == []
    monkeypatch.setenv("SLACKWATER_FILE_LIMIT_MB", str((size - 1) / 1e6))
    assert tiny.codes(folder) == [("daily", None, "too_large")]
    monkeypatch.setenv("SLACKWATER_FILE_LIMIT_MB", "much")
    with pytest.raises(UsageError):
        read_catchment(folder)


def test_every_fault_is_told_at_once(folder):
    """Bad settings, a bad table and a link are all reported in one reading."""
    (folder / "catchment.toml").write_text("name = \n")
    (folder / "prices.csv").write_text('"')
    (folder / "reaches.geojson").write_text("{")
    assert {code for *_, code in tiny.codes(folder)} == {"unreadable"}
    assert [table for table, *_ in tiny.codes(folder)] == ["catchment", "reaches", "prices"]


def test_a_path_to_nothing_is_bad_usage(tmp_path):
    """A missing path, or a file of another kind, is the caller's mistake."""
    (tmp_path / "a.pdf").write_text("x")
    for name in ("none", "a.pdf"):
        with pytest.raises(UsageError):
            read_catchment(tmp_path / name)


PNG = b"\x89PNG\r\n\x1a\n" + bytes(8)


def test_relief_comes_with_its_bounds(folder):
    """relief.png is handed over with west, south, east, north."""
    (folder / "relief.png").write_bytes(PNG)
    (folder / "relief.toml").write_text("west = 1\nsouth = -2.5\neast = 3\nnorth = 0.0\n")
    raw = read_catchment(folder)
    assert raw.relief_path == str(folder / "relief.png")
    assert raw.relief == {"west": 1, "south": -2.5, "east": 3, "north": 0}


@pytest.mark.parametrize("text", [
    None, "west = 1", "west = 3\nsouth = 0\neast = 1\nnorth = 1", "=",
    "west = 1\nsouth = 0\neast = 2\nnorth = nan", 'west = "1"\nsouth = 0\neast = 2\nnorth = 1',
])  # fmt: skip
def test_relief_without_bounds_is_a_fault(folder, text):
    """A picture nobody can place is told."""
    (folder / "relief.png").write_bytes(PNG)
    if text is not None:
        (folder / "relief.toml").write_text(text)
    raw = read_catchment(folder)
    assert [(f.table, f.code) for f in raw.faults] == [("relief", "relief_bounds")]
    assert raw.relief_path == ""
