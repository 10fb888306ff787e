"""Files that mean harm are refused plainly, with bounded memory, and nothing is changed.

After the headings of OWASP's Application Security Verification Standard 4.0.3, V12 Files and
Resources: upload, integrity, execution, storage, download, server-side requests.
"""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from slackwater.api.page import PAGE_FOLDER
from slackwater.api.upload_answers import LIMIT_VARIABLE, upload_limit_bytes
from slackwater.desk.reading_apart import MOST_MEMORY_BYTES
from slackwater.desk.uploads import KEPT_AT_MOST, MOST_BYTES, RECEIVED_AT_ONCE
from slackwater.errors import UsageError
from tests.contracts.at_work import Bench, bench
from tests.contracts.hostile_files import REFUSED
from tests.contracts.hostile_folders import SECRET
from tests.contracts.sound_files import sound_file
from tests.contracts.upload_trial import Trial, send, trials

GROWS_AT_MOST = 250_000_000
"""By which a file may make the service itself grow: nothing is unpacked in its memory."""


@pytest.fixture
def at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Bench]:
    """A service that takes 1 MB at once."""
    monkeypatch.setenv(LIMIT_VARIABLE, "1")
    (tmp_path / "base").mkdir()
    with bench(tmp_path / "base") as made:
        yield made


@pytest.fixture(scope="module")
def trial_of(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Trial]:
    """Every hostile file, sent in a process that may not grow."""
    ran = trials(tmp_path_factory.mktemp("hostile"))
    assert len(ran) == len(REFUSED)
    return {maker.__name__: each for (maker, _), each in zip(REFUSED, ran, strict=True)}


# V12.1 upload, V12.2 integrity, V12.3 execution, V12.6 server-side requests: what a file holds


@pytest.mark.parametrize(("maker", "code"), [(m.__name__, code) for m, code in REFUSED])
def test_a_hostile_file_is_refused_plainly_and_changes_nothing(
    trial_of: dict[str, Trial], maker: str, code: str
) -> None:
    """One code says what is wrong, in words too; revision, version and history stay."""
    trial = trial_of[maker]
    assert (trial.status, trial.state) == (202, "done")
    assert code in {fault["code"] for fault in trial.faults}
    assert all(fault["remedy"].isprintable() for fault in trial.faults)
    assert all(fault["value"].isprintable() for fault in trial.faults)
    assert SECRET not in str(trial.faults)
    assert trial.unmoved


def test_memory_is_bounded_whatever_is_sent(trial_of: dict[str, Trial]) -> None:
    """The service grows by little over all files; what reads them stays within what it may hold."""
    assert sum(trial.grown_bytes for trial in trial_of.values()) < GROWS_AT_MOST
    readers = [trial.reader_bytes for trial in trial_of.values()]
    assert 0 < max(readers) < MOST_MEMORY_BYTES * 1.2


# V12.1 upload: size and quota


@pytest.mark.parametrize("said", [True, False])
def test_a_file_above_the_limit_is_refused(at: Bench, said: bool) -> None:
    """413, whether its length is said or it comes in pieces; nothing is kept of it."""
    piece = b"x" * 65_536
    content = piece * 40 if said else (piece for _ in range(400))
    before = at.standing()
    answer = at.client.post("/api/uploads", params={"name": "a.gpkg"}, content=content)
    assert answer.status_code == 413
    assert answer.json()["error"]["code"] == "too_large"
    assert "1 MB" in answer.json()["error"]["message"]
    assert at.standing() == before
    assert held(at) == []


def test_a_file_just_above_the_limit_is_heard_out(at: Bench) -> None:
    """Its sender hears the refusal; a byte less is taken in and looked at."""
    for size, status in ((1_000_001, 413), (1_000_000, 202)):
        answer = at.client.post("/api/uploads", params={"name": "a.gpkg"}, content=b"x" * size)
        assert answer.status_code == status


def test_the_limit_can_be_set_and_has_a_default(monkeypatch: pytest.MonkeyPatch) -> None:
    """In megabytes, by the environment; what is no number above 0 is refused at the start."""
    monkeypatch.delenv(LIMIT_VARIABLE, raising=False)
    assert upload_limit_bytes() == MOST_BYTES
    monkeypatch.setenv(LIMIT_VARIABLE, "2.5")
    assert upload_limit_bytes() == 2_500_000
    for wrong in ("0", "-1", "nan", "inf", "much"):
        monkeypatch.setenv(LIMIT_VARIABLE, wrong)
        with pytest.raises(UsageError, match=LIMIT_VARIABLE):
            upload_limit_bytes()


def test_of_many_small_files_only_the_latest_are_kept(at: Bench, tmp_path: Path) -> None:
    """The oldest makes room, and can no longer be accepted."""
    path = tmp_path / "no.gpkg"
    path.write_bytes(b"no GeoPackage")
    ids = [send(at, path)[1]["answer"]["upload_id"] for _ in range(3 * KEPT_AT_MOST)]
    assert len(held(at)) == KEPT_AT_MOST
    for number, upload_id in enumerate(ids):
        there = number >= len(ids) - KEPT_AT_MOST
        answer = at.client.post(
            f"/api/uploads/{upload_id}/accept",
            json={"id": upload_id, "why": "try"},
        )
        assert answer.status_code == (422 if there else 404)


def test_no_more_than_a_few_are_received_at_once(at: Bench) -> None:
    """Who comes while as many arrive as may is told to wait; room is made when one ends."""
    uploads = at.client.app.state.uploads  # type: ignore[attr-defined]
    receiving = [uploads.receive("a.gpkg") for _ in range(RECEIVED_AT_ONCE)]
    asked = {"params": {"name": "a.gpkg"}, "content": b"x"}
    assert at.client.post("/api/uploads", **asked).status_code == 429
    for each in receiving:
        with each:
            pass
    assert at.client.post("/api/uploads", **asked).status_code == 202


def test_a_file_that_stops_coming_leaves_nothing(at: Bench) -> None:
    """Where its sender goes away in the middle, nothing of it is kept and its place is free."""
    uploads = at.client.app.state.uploads  # type: ignore[attr-defined]
    for _ in range(2 * RECEIVED_AT_ONCE):
        with contextlib.suppress(ConnectionError), uploads.receive("a.gpkg") as receiving:
            receiving.write(b"half")
            raise ConnectionError
    assert held(at) == []


def test_an_empty_file_is_refused(at: Bench) -> None:
    """Nothing is no file."""
    answer = at.client.post("/api/uploads", params={"name": "a.gpkg"}, content=b"")
    assert answer.status_code == 400
    assert held(at) == []


# V12.2 integrity and V12.3 execution: names


@pytest.mark.parametrize(
    "name",
    ["", "catchment", "a.csv", "a.exe", "a.gpkg.exe", "a.php", ".gpkg", "../a.gpkg", "/a.gpkg",
     "b/a.gpkg", "b\\a.gpkg", "c:a.gpkg", "a\x00.gpkg", "a\n.gpkg", "a\x1b[2J.gpkg",
     "a\u202egpkg.exe", "a\u202e.gpkg", "x" * 300 + ".gpkg", "a.gpkg/", "a.gpkg%00.exe",
     "http://host/a.gpkg", "|sh.gpkg/x"],
)  # fmt: skip
def test_a_name_is_a_plain_name_with_an_ending_that_is_read(at: Bench, name: str) -> None:
    """Folders, control characters, other endings: refused before a byte is kept."""
    answer = at.client.post("/api/uploads", params={"name": name}, content=b"x")
    assert answer.status_code == 400
    assert answer.json()["error"]["message"].isprintable()
    assert held(at) == []


def test_a_name_is_never_a_path_here(at: Bench, tmp_path: Path) -> None:
    """Whatever a file is called, on the disk it has a name of ours."""
    path = sound_file(tmp_path, "$(touch evil) ; <b>&.gpkg")
    answer = send(at, path)[1]["answer"]
    assert (answer["name"], answer["faults"]) == (path.name, [])
    names = [each.name for each in Path(folder_of(at)).rglob("*")]
    assert not any("evil" in name for name in names)


# V12.4 storage


def test_files_lie_outside_the_page_where_no_one_else_may_read(at: Bench, tmp_path: Path) -> None:
    """The folder is its owner's alone, away from all that is served; the file itself goes."""
    send(at, sound_file(tmp_path, "umber.gpkg"))
    top = Path(folder_of(at))
    assert not top.is_relative_to(PAGE_FOLDER)
    for folder in [top, *(each for each in top.rglob("*") if each.is_dir())]:
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        assert folder.stat().st_uid == os.getuid()
    assert [each.name for each in top.rglob("*") if each.is_file()] == ["read"]


# V12.5 download


def test_nothing_sent_is_ever_served(at: Bench, tmp_path: Path) -> None:
    """There is no address under which a file comes back."""
    upload_id = send(at, sound_file(tmp_path, "umber.gpkg"))[1]["answer"]["upload_id"]
    for path in ("/api/uploads", f"/api/uploads/{upload_id}", f"/api/uploads/{upload_id}/accept",
                 f"/assets/{upload_id}", f"/api/uploads/{upload_id}/read"):  # fmt: skip
        answer = at.client.get(path)
        assert answer.status_code in (404, 405)
        assert b"SQLite" not in answer.content


def folder_of(at: Bench) -> str:
    return str(at.client.app.state.uploads._folder)  # type: ignore[attr-defined]


def held(at: Bench) -> list[str]:
    """What is kept of files that were sent."""
    return os.listdir(folder_of(at))
