"""What is a GeoPackage taken to say?"""

from __future__ import annotations

import sqlite3
import struct
from datetime import date, datetime

import pandas as pd
import pyarrow as pa
import pyogrio
import pytest
import shapely

from slackwater.catchment.raw import UNREADABLE
from slackwater.errors import InputFaults
from slackwater.files.read import read_catchment
from tests.files import tiny


@pytest.fixture
def package(tmp_path):
    return tiny.save_geopackage(tmp_path / "umber.gpkg")


def test_rows_keep_their_fid(package):
    """A row is known by its fid, also after another was deleted in a GIS."""
    with sqlite3.connect(package) as database:
        database.execute("delete from daily where fid = 2")
        database.commit()
    database.close()
    assert read_catchment(package).tables["daily"].rows[:3] == (1, 3, 4)


def test_dates_are_dates(package):
    """Date columns arrive as dates, and so does a time of day of midnight."""
    columns = {
        "date": pa.array([date(2021, 3, 4), None], pa.date32()),
        "seen": pa.array([datetime(2020, 1, 2), datetime(2020, 1, 2, 9)]),
    }
    pyogrio.write_arrow(pa.table(columns), package, layer="metered", driver="GPKG")
    cells = read_catchment(package).tables["metered"].cells
    assert cells["date"] == [date(2021, 3, 4), None]
    midnight, morning = cells["seen"]
    assert type(midnight) is date
    assert midnight == date(2020, 1, 2)
    assert morning.hour == 9


def test_whole_numbers_with_gaps_stay_whole(package):
    """A column of integers with an empty cell gives int and None, never a float."""
    frame = pd.DataFrame({"offtake_id": pd.array([12, None], dtype="Int64")})
    pyogrio.write_dataframe(frame, package, layer="metered", driver="GPKG")
    cells = read_catchment(package).tables["metered"].cells["offtake_id"]
    assert cells == [12, None]
    assert type(cells[0]) is int


def test_settings_beside_and_inside_are_a_fault(package):
    """Settings in two places are told; one of them is enough."""
    assert read_catchment(package).settings["name"] == "Umber Brook"
    package.with_suffix(".toml").write_text('name = "Beside"\n')
    assert tiny.codes(package) == [("catchment", None, "two_formats")]
    with sqlite3.connect(package) as database:
        database.execute("delete from gpkg_contents where table_name = 'catchment'")
        database.execute("drop table catchment")
        database.commit()
    database.close()
    raw = read_catchment(package)
    assert (raw.faults, raw.settings["name"]) == ((), "Beside")


def test_a_layer_without_a_system_names_none(tmp_path):
    """A layer saved without a reference system gives "", for the settings or checks to fill."""
    frame = tiny.frame_of(tiny.tables()["gauges"]).set_crs(None, allow_override=True)
    with pytest.warns(UserWarning, match="crs"):
        pyogrio.write_dataframe(frame, tmp_path / "a.gpkg", layer="gauges")
    assert read_catchment(tmp_path / "a.gpkg").tables["gauges"].crs == ""


MEASURED = shapely.to_wkb(
    shapely.from_wkt("LINESTRING ZM (0 0 1 2, 1 1 1 2)"), flavor="iso", output_dimension=4
)
CURVE = struct.pack("<BIIdddddd", 1, 8, 3, 0, 0, 1, 1, 2, 0)


@pytest.mark.filterwarnings("ignore:geometry column type")
@pytest.mark.parametrize(("stored", "wkt"), [
    (MEASURED, "LINESTRING (0 0, 1 1)"), (CURVE, None), (b"\x01\x02\x00\x00\x00\x09", None),
])  # fmt: skip
def test_odd_shapes_are_made_plane_or_told(package, stored, wkt):
    """Heights and measures are left out; a curve or a broken shape is a fault with its fid."""
    with sqlite3.connect(package) as database:
        for (name,) in database.execute("select name from sqlite_master where type = 'trigger'"):
            database.execute(f'drop trigger "{name}"')
        blob = b"GP\x00\x01" + struct.pack("<i", 4326) + stored
        database.execute("update reaches set geom = ? where fid = 2", (blob,))
        database.execute("update gpkg_geometry_columns set geometry_type_name = 'GEOMETRY'")
        database.commit()
    database.close()
    raw = read_catchment(package)
    shape = raw.tables["reaches"].geometry[1]
    if wkt:
        assert (shape.wkt, raw.faults) == (wkt, ())
    else:
        assert shape is UNREADABLE
        assert [(f.table, f.row, f.key, f.code) for f in raw.faults] == [
            ("reaches", 2, "02", "geometry_invalid")
        ]


@pytest.mark.parametrize("data", [b"", b"PK", b"<OGRVRTDataSource/>", b"SQLite format 3\x00"])
def test_what_is_no_geopackage_is_refused(tmp_path, data):
    """Another kind of file under that ending is one fault."""
    (tmp_path / "a.gpkg").write_bytes(data)
    with pytest.raises(InputFaults) as refused:
        read_catchment(tmp_path / "a.gpkg")
    assert [fault.code for fault in refused.value.faults] == ["unreadable"]


def test_too_large_a_package_is_refused(package):
    """The limit holds for the file as a whole."""
    with pytest.raises(InputFaults) as refused:
        read_catchment(package, limit_bytes=1000)
    assert [fault.code for fault in refused.value.faults] == ["too_large"]
