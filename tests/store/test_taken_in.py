"""A catchment comes into a database and out of it again as the same; on both stores."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from slackwater.desk.exporting import export_database
from slackwater.desk.importing import import_catchment, read_given
from slackwater.errors import EditConflict, InputFaults, UsageError
from slackwater.store import Change, Given, Register, is_there, open_register
from tests.files import tiny
from tests.store.conftest import NewUrl
from tests.store.said import capacity, cell, check, edit, fresh_id

DEMO = Path(__file__).parents[2] / "demo_data" / "lantern.gpkg"


@pytest.mark.parametrize("save", [
    tiny.save_folder, tiny.save_geopackage, tiny.save_shapefiles, tiny.save_workbook,
])  # fmt: skip
def test_every_format_keeps_its_version(new_url: NewUrl, tmp_path: Path, save) -> None:
    """From a folder, a GeoPackage, Shapefiles or a workbook: the data version stays the file's."""
    name = {"save_geopackage": "umber.gpkg", "save_workbook": "umber.xlsx"}
    path = save(tmp_path / name.get(save.__name__, "umber"))
    url = new_url()
    done = import_catchment(path, url)
    assert done.data_version == tiny.version_of(path)
    register = open_register(url)
    assert check(register.raw()) == register.standing().data_version == done.data_version
    register.close()


@pytest.mark.parametrize("name", ["out.gpkg", "out"])
def test_there_and_back_is_the_same(url: str, tmp_path: Path, name: str) -> None:
    """Written as a GeoPackage or a folder and read again, it has the version of the database."""
    done = export_database(url, tmp_path / name)
    assert tiny.version_of(tmp_path / name) == done.read_back == done.data_version
    again = read_given(tmp_path / name)[0]
    register = open_register(url)
    assert register.difference(again) == {}  # blank stays blank, to the last cell
    register.close()


def test_the_demo_there_and_back(new_url: NewUrl, tmp_path: Path) -> None:
    """The demo catchment, its relief too, comes back from the database as it went in."""
    url = new_url()
    version = import_catchment(DEMO, url).data_version
    assert export_database(url, tmp_path / "demo").read_back == version
    beside = DEMO.parent / "relief.png"
    assert (tmp_path / "demo" / "relief.png").read_bytes() == beside.read_bytes()
    assert import_catchment(tmp_path / "demo", url).difference == {}
    assert version == tiny.version_of(DEMO)


def test_layers_without_settings_leave_those_that_stand(new_url: NewUrl, tmp_path: Path) -> None:
    """The demo's GeoPackage alone, its settings file left behind, changes nothing."""
    url = new_url()
    version = import_catchment(DEMO, url).data_version
    alone = tmp_path / "another_name.gpkg"
    alone.write_bytes(DEMO.read_bytes())
    assert tiny.version_of(alone) != version  # by itself it says other settings
    done = import_catchment(alone, url)
    assert (done.difference, done.data_version) == ({}, version)


def test_a_workbook_can_be_read_again(url: str, tmp_path: Path) -> None:
    """A workbook holds no lines, so lengths and places along the river are filled in."""
    register = open_register(url)
    for code, reach, chainage in (("0012", "01", 4000.125), ("0013", "02", 500.0)):
        blank = (("reach_id", reach), ("chainage_m", chainage))
        register.apply(edit(*(Change("offtakes", code, c, v, None) for c, v in blank)), check)
    for code, length in (("01", 11000.5), ("02", 15000.25)):
        register.apply(edit(Change("reaches", code, "length_m", length, None)), check)
    register.close()
    done = export_database(url, tmp_path / "out.xlsx")
    assert done.read_back == tiny.version_of(tmp_path / "out.xlsx") != done.data_version


def test_faults_make_no_database(new_url: NewUrl, tmp_path: Path) -> None:
    """A catchment at fault leaves the database as it was; where there was none there is none."""
    folder = tiny.save_folder(tmp_path / "umber")
    prices = folder / "prices.csv"
    prices.write_text(prices.read_text().replace("12000", "-12000"))
    url = new_url()
    there = is_there(url)
    with pytest.raises(InputFaults):
        import_catchment(folder, url)
    assert is_there(url) == there


def test_a_dry_run_shows_and_writes_nothing(url: str, tmp_path: Path) -> None:
    """What would be added, removed and changed is told with examples, and nothing is written."""
    folder = tiny.save_folder(tmp_path / "umber")
    options = folder / "options.csv"
    options.write_text(options.read_text() + "drum,Drum,0.1,2,0.5,4,30000,invented\n")
    (folder / "efficacy.csv").write_text("option_id,guild_id,drifter\n")
    guilds = folder / "guilds.csv"
    guilds.write_text(guilds.read_text().replace(",40,", ",41,"))
    register = open_register(url)
    before = register.standing()
    found = import_catchment(folder, url, dry_run=True).difference
    told = {name: (each.added, each.removed, each.changed) for name, each in found.items()}
    assert told == {"options": (1, 0, 0), "efficacy": (0, 1, 0), "guilds": (0, 0, 1)}
    assert found["guilds"].examples == ("dace, full_season_days: 40.0 -> 41.0",)
    assert found["options"].examples == ("drum (Drum) added",)
    assert register.standing() == before
    register.close()


def test_an_import_is_one_edit_of_the_history(register: Register, umber: Given) -> None:
    """It says cell by cell what came; of daily records only how many; what was there is kept."""
    register.apply(edit(capacity(0.3, 0.35)), check)
    before = register.standing()
    daily = umber.tables["daily"]
    flows = [flow + 1 for flow in daily.cells["flow_m3s"]]
    more = dataclasses.replace(daily, cells={**daily.cells, "flow_m3s": flows})
    given = dataclasses.replace(umber, tables={**umber.tables, "daily": more})
    asked = {"edit_id": fresh_id(), "why": "the spring survey", "by": "Ines"}
    done = register.replace(given, check, **asked)
    past = register.edit(done.edit_id)
    assert past is not None
    assert (past.kind, past.why, past.by) == ("import", "the spring survey", "Ines")
    days = Change("daily", "", "", {"rows": 366}, {"rows": 366})
    assert past.changes == (days, capacity(0.35, 0.3))
    assert check(register.edition(before.data_version)) == before.data_version
    assert register.replace(given, check, **asked).repeated
    with pytest.raises(UsageError):
        register.replace(umber, check, **asked)


def test_an_import_on_an_old_look_is_refused(register: Register, umber: Given) -> None:
    """Who looked before another's edit is told, and that edit is not lost."""
    seen = register.standing().revision
    register.apply(edit(capacity(0.3, 0.35)), check)
    with pytest.raises(EditConflict):
        register.replace(umber, check, edit_id=fresh_id(), why="late", on_revision=seen)
    assert cell(register, "offtakes", "0012", "capacity_m3s") == 0.35


def test_a_broken_import_leaves_all_as_it_was(register: Register, umber: Given) -> None:
    """Where the database refuses a row at the end, everything before it is taken back too."""
    before = register.standing()
    weirs = umber.tables["weirs"]
    lost = dataclasses.replace(weirs, rows=(1,), cells={"reach_id": ["77"], "survival": [0.5]})
    given = dataclasses.replace(umber, tables={**umber.tables, "weirs": lost})
    with pytest.raises(Exception, match=r"(?i)foreign key"):
        register.replace(given, lambda _: "unchecked", edit_id=fresh_id(), why="broken")
    assert register.standing() == before
    assert check(register.raw()) == before.data_version
    assert len(register.history()) == 1
