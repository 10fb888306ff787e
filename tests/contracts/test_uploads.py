"""A catchment sent as a file: looked at, compared, taken in whole or not at all."""

from __future__ import annotations

import json
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.desk import reading_apart
from tests.contracts.at_work import HERE, Bench, bench, change, new_id
from tests.contracts.sound_files import packed, sound_file, sound_folder
from tests.contracts.upload_trial import send
from tests.files import tiny

PNG = b"\x89PNG\r\n\x1a\nnot much of a picture"


@pytest.fixture
def at(tmp_path: Path) -> Iterator[Bench]:
    (tmp_path / "base").mkdir()
    with bench(tmp_path / "base") as made:
        yield made


def looked_at(at: Bench, path: Path) -> dict[str, Any]:
    """Send a file and give the answer of the work."""
    status, work = send(at, path)
    assert (status, work["state"]) == (202, "done"), work
    return work["answer"]


def accept(at: Bench, upload_id: str, status: int = 200, **more: Any) -> dict[str, Any]:
    return at.post(f"uploads/{upload_id}/accept", status, **{"id": new_id(), "why": "new", **more})


@pytest.mark.parametrize("ending", ["gpkg", "xlsx", "zip"])
def test_every_kind_of_file_is_taken_in_whole(at: Bench, tmp_path: Path, ending: str) -> None:
    """What stands afterwards is what the file says, with the version it has on the disk."""
    make = sound_folder if ending == "zip" else sound_file
    path = make(tmp_path, f"umber.{ending}")
    before = at.standing()
    told = looked_at(at, path)
    assert at.standing() == before
    assert (told["faults"], told["name"]) == ([], path.name)
    assert told["difference"]["offtakes"]["added"] == 2
    assert told["difference"]["offtakes"]["removed"] == 3
    assert told["difference"]["offtakes"]["examples"]
    done = accept(at, told["upload_id"], why="this year's register", by="A. Person")
    assert done["data_version"] == told["data_version"]
    assert (done["revision"], done["repeated"]) == (2, False)
    at.settled()
    assert at.get("offtakes")["offtake_id"] == ["0012", "0013"]
    assert at.get("catchment")["name"] == "Umber Brook"
    for shown in ("reaches", "places", "land", "roads", "losses", "offtakes/0012/why",
                  "offtakes/0012/routes", "rows/reaches/01", "rows/offtakes/0012"):  # fmt: skip
        at.get(shown)  # a workbook carries no lines
    last = at.get("edits")["edits"][0]
    assert (last["kind"], last["why"], last["by"]) == (
        "import",
        "this year's register",
        "A. Person",
    )
    assert last["source"] == path.name


def test_a_geopackage_with_its_settings_and_relief_beside_is_taken_in_packed(
    at: Bench, tmp_path: Path
) -> None:
    """As the demo lies on the disk: one GeoPackage, NAME.toml, the picture and its bounds."""
    path = packed(
        tmp_path / "brook.zip",
        [
            ("umber.gpkg", _without_settings(tmp_path)),
            ("umber.toml", tomli_w.dumps(tiny.SETTINGS).encode()),
            ("relief.png", PNG),
            ("relief.toml", b"west = 99.9\nsouth = -36.2\neast = 100.3\nnorth = -35.9\n"),
        ],
    )
    told = looked_at(at, path)
    assert told["faults"] == []
    accept(at, told["upload_id"])
    at.settled()
    assert at.client.get("/api/relief.png").content == PNG
    assert at.get("catchment")["relief_bounds"] == [99.9, -36.2, 100.3, -35.9]


def test_a_file_without_settings_leaves_those_that_stand(at: Bench, tmp_path: Path) -> None:
    """A GIS writes layers alone; weights, name and all else of the settings stay as they were."""
    accept(at, looked_at(at, sound_folder(tmp_path, "first.zip"))["upload_id"])
    at.settled()
    before = at.register.raw().settings_text
    assert tomllib.loads(before)  # there is something to lose
    bare = tmp_path / "out_of_a_gis.gpkg"
    bare.write_bytes(_without_settings(tmp_path))
    assert looked_at(at, bare)["difference"] == {}
    assert at.register.raw().settings_text == before


def _without_settings(folder: Path) -> bytes:
    import sqlite3

    path = sound_file(folder, "bare.gpkg")
    database = sqlite3.connect(path)
    with database:
        database.execute("DELETE FROM gpkg_contents WHERE table_name = 'catchment'")
        database.execute("DROP TABLE catchment")
    database.close()
    return path.read_bytes()


def test_a_small_difference_is_told_by_its_cells(at: Bench, tmp_path: Path) -> None:
    """Of a file that differs in one cell only that is told; of the same file, nothing."""
    told = looked_at(at, sound_folder(tmp_path, "first.zip"))
    accept(at, told["upload_id"])
    assert looked_at(at, sound_folder(tmp_path, "again.zip"))["difference"] == {}
    folder = tmp_path / "again.zip unpacked"
    offtakes = json.loads((folder / "offtakes.geojson").read_text())
    offtakes["features"][0]["properties"]["capacity_m3s"] = 0.31
    (folder / "offtakes.geojson").write_text(json.dumps(offtakes))
    files = [(each.name, each.read_bytes()) for each in folder.iterdir()]
    difference = looked_at(at, packed(tmp_path / "other.zip", files))["difference"]
    assert set(difference) == {"offtakes"}
    told = difference["offtakes"]
    assert (told["added"], told["removed"], told["changed"]) == (0, 0, 1)
    assert "0012" in told["examples"][0]
    assert "0.31" in told["examples"][0]


def test_every_fault_is_told_with_its_place_and_nothing_is_taken_in(
    at: Bench, tmp_path: Path
) -> None:
    """Faults come as `slackwater check` gives them; accepting such a file is refused with them."""
    sound_folder(tmp_path, "bad.zip")
    folder = tmp_path / "bad.zip unpacked"
    daily = (folder / "daily.csv").read_text().replace("2019-07-02", "the second")
    (folder / "daily.csv").write_text(daily)
    settings = tomllib.loads((folder / "catchment.toml").read_text()) | {"discount_rate": -1}
    (folder / "catchment.toml").write_text(tomli_w.dumps(settings))
    files = [(each.name, each.read_bytes()) for each in folder.iterdir()]
    told = looked_at(at, packed(tmp_path / "bad.zip", files))
    found = {(each["table"], each["row"], each["column"]) for each in told["faults"]}
    assert ("daily", 3, "date") in found
    assert any(table == "catchment" and column == "discount_rate" for table, _, column in found)
    assert (told["difference"], told["data_version"]) == ({}, "")
    before = at.standing()
    answer = accept(at, told["upload_id"], 422)
    assert answer["error"]["findings"] == told["faults"]
    assert at.standing() == before


def test_an_acceptance_sent_again_is_done_once(at: Bench, tmp_path: Path) -> None:
    """The same id is a repeat and writes nothing."""
    told = looked_at(at, sound_file(tmp_path, "umber.gpkg"))
    edit_id = new_id()
    assert accept(at, told["upload_id"], id=edit_id)["repeated"] is False
    before = at.standing()
    assert accept(at, told["upload_id"], id=edit_id)["repeated"] is True
    assert at.standing() == before


def test_edits_made_since_it_was_looked_at_are_not_written_over(at: Bench, tmp_path: Path) -> None:
    """409 says that the data went on, and who did it; looked at again it can be taken in."""
    path = sound_file(tmp_path, "umber.gpkg")
    told = looked_at(at, path)
    at.edit(change("capacity_m3s", 0.2, 0.25), by="Someone else")
    before = at.standing()
    answer = accept(at, told["upload_id"], 409)
    (conflict,) = answer["error"]["conflicts"]
    assert (conflict["seen"], conflict["now"], conflict["by"]) == (1, 2, "Someone else")
    assert at.standing() == before
    accept(at, looked_at(at, path)["upload_id"])


@pytest.mark.parametrize("more", [{"why": ""}, {"why": " "}, {"id": "1"}, {"by": "x" * 3000}])
def test_an_acceptance_says_why(at: Bench, tmp_path: Path, more: dict[str, Any]) -> None:
    """Without an id, a reason or with too long a name nothing is taken in."""
    told = looked_at(at, sound_file(tmp_path, "umber.gpkg"))
    before = at.standing()
    accept(at, told["upload_id"], 400, **more)
    assert at.standing() == before


def test_what_is_not_there_cannot_be_accepted_or_taken_away(at: Bench, tmp_path: Path) -> None:
    """An unknown id, and one that was taken away, are not found."""
    told = looked_at(at, sound_file(tmp_path, "umber.gpkg"))
    assert at.client.delete(f"/api/uploads/{told['upload_id']}").status_code == 204
    for upload_id in (told["upload_id"], new_id()):
        assert accept(at, upload_id, 404)["error"]["code"] == "not_here"
        assert at.client.delete(f"/api/uploads/{upload_id}").status_code == 404
    assert at.client.delete("/api/uploads/../edits").status_code in (400, 404, 405)


def test_looking_at_a_file_stops_when_told(
    at: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The process that reads ends too, and nothing of the file is left."""
    monkeypatch.setattr(reading_apart, "READER", ("-c", "import time; time.sleep(600)"))
    path = sound_file(tmp_path, "umber.gpkg")
    work = at.client.post(
        "/api/uploads", params={"name": path.name}, content=path.read_bytes()
    ).json()
    assert at.get(f"work/{work['id']}", wait_s=0.5)["state"] == "working"
    at.client.delete(f"/api/work/{work['id']}")
    assert at.get(f"work/{work['id']}", wait_s=5)["state"] == "stopped"


def test_a_reader_that_takes_too_long_is_ended(
    at: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Reading has a last moment; the file is then refused as one that cannot be read."""
    monkeypatch.setattr(reading_apart, "READER", ("-c", "import time; time.sleep(600)"))
    monkeypatch.setattr(reading_apart, "LONGEST_S", 1)
    told = looked_at(at, sound_file(tmp_path, "umber.gpkg"))
    assert [each["code"] for each in told["faults"]] == ["unreadable"]


def test_a_reader_that_dies_takes_nothing_with_it(
    at: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a file brings its reader down the service answers on, and says that it is damaged."""
    monkeypatch.setattr(reading_apart, "READER", ("-c", "import os; os.abort()"))
    told = looked_at(at, sound_file(tmp_path, "umber.gpkg"))
    assert [each["code"] for each in told["faults"]] == ["unreadable"]
    assert at.get("offtakes")["count"] == 3


def test_nothing_sent_outlives_the_service(at: Bench, tmp_path: Path) -> None:
    """When the service ends, whatever was sent and not accepted is gone."""
    app = create_app(at.working)
    with TestClient(app, base_url=HERE) as client:
        again = Bench(at.working, client)
        looked_at(again, sound_file(tmp_path, "umber.gpkg"))
        folder = Path(app.state.uploads._folder)
        assert list(folder.iterdir())
    assert not folder.exists()


def test_an_unnamed_catchment_is_called_as_what_stands(at: Bench, tmp_path: Path) -> None:
    """A file whose settings name nothing does not rename the catchment to the file's own name."""
    nameless = tmp_path / "from_the_gis.zip"
    with zipfile.ZipFile(sound_folder(tmp_path, "named.zip")) as named:
        parts = [(name, named.read(name)) for name in named.namelist()]
    settings = {
        name: value
        for name, value in tomllib.loads(dict(parts)["umber/catchment.toml"].decode()).items()
        if name != "name"
    }
    others = [part for part in parts if not part[0].endswith(".toml")]
    packed(nameless, [*others, ("umber/catchment.toml", tomli_w.dumps(settings).encode())])
    standing = at.register.raw().default_name
    accept(at, looked_at(at, nameless)["upload_id"])
    at.settled()
    assert at.get("offtakes")["offtake_id"] == ["0012", "0013"]
    assert at.register.raw().default_name == standing
    assert at.get("catchment")["name"] == standing
