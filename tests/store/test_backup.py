"""A backup is one file that holds all of one moment, and comes back into either store."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from threading import Event, Thread

import pytest

from slackwater.errors import EditConflict, StoreFailed, UsageError
from slackwater.store import Register, backup, open_register, restore
from tests.store.conftest import NewUrl
from tests.store.postgres import Server
from tests.store.said import capacity, case, cell, check, edit, step


def worked_on(register: Register) -> None:
    """Leave something of every kind behind."""
    register.save_case(case(register.standing().data_version))
    done = register.apply(edit(capacity(0.3, 0.35)), check)
    back = edit(capacity(0.35, 0.3), undoes=done.edit_id, kind="undo")
    register.apply(back, check)
    register.add_offer_step(step(committed=5.0), None, check)


def all_of(register: Register) -> tuple[object, ...]:
    """Give everything a register tells."""
    cases = tuple(register.case(each.id) for each in register.cases())
    edits = tuple(register.edit(past.id) for past in register.history())
    raw = register.raw()
    places = [place.wkt for place in raw.tables["offtakes"].geometry or ()]
    return register.standing(), cases, edits, register.offer_steps(), raw.settings_text, places


def test_a_backup_comes_back_whole(url: str, tmp_path: Path) -> None:
    """Data, history, cases and offers come back as they were, and work goes on from there."""
    with closing(open_register(url)) as register:
        worked_on(register)
        before = all_of(register)
        told = register.backup(tmp_path / "b.sqlite")
        assert told == register.standing()
        register.apply(edit(capacity(0.3, 0.4)), check)
    with pytest.raises(UsageError):
        restore(tmp_path / "b.sqlite", url)
    assert restore(tmp_path / "b.sqlite", url, replace=True) == told
    with closing(open_register(url)) as again:
        assert all_of(again) == before
        assert check(again.edition(told.data_version)) == told.data_version
        assert again.apply(edit(capacity(0.3, 0.36)), check).seq == 4


def test_a_backup_is_one_private_file(register: Register, tmp_path: Path) -> None:
    """It is readable by its owner alone, has nothing beside it, and replaces no other file."""
    register.backup(tmp_path / "backups.sqlite")
    made = [path for path in tmp_path.iterdir() if path.name.startswith(("backups", "."))]
    assert [path.name for path in made] == ["backups.sqlite"]
    assert made[0].stat().st_mode & 0o777 == 0o600
    with pytest.raises(UsageError):
        register.backup(tmp_path / "backups.sqlite")


@pytest.mark.parametrize("kind", ["sqlite"])
def test_it_moves_from_one_store_to_the_other(
    register: Register, postgres: Server, tmp_path: Path
) -> None:
    """A backup of a file restores into PostgreSQL, one of that into a file, and nothing changes."""
    worked_on(register)
    before = all_of(register)
    register.backup(tmp_path / "of_file.sqlite")
    server = postgres.new_database()
    restore(tmp_path / "of_file.sqlite", server)
    with closing(open_register(server)) as there:
        assert all_of(there) == before
        there.backup(tmp_path / "of_server.sqlite")
    restore(tmp_path / "of_server.sqlite", str(tmp_path / "again.sqlite"))
    with closing(open_register(str(tmp_path / "again.sqlite"))) as back:
        assert all_of(back) == before


def test_a_backup_in_a_storm_is_of_one_moment(url: str, new_url: NewUrl, tmp_path: Path) -> None:
    """Taken while two threads edit without a pause, each restores to a whole database."""
    ended = Event()

    def storm(code: str, start: float) -> None:
        register, now = open_register(url), start
        while not ended.is_set():
            register.apply(edit(capacity(now, now + 0.001, code)), check)
            now += 0.001
        register.close()

    threads = [Thread(target=storm, args=said) for said in (("0012", 0.3), ("0013", 0.25))]
    for each in threads:
        each.start()
    backups = [tmp_path / f"{number}.backup.sqlite" for number in range(4)]
    with closing(open_register(url)) as register:
        told = [register.backup(path) for path in backups]
        storm_went_on = register.standing().revision
    ended.set()
    for each in threads:
        each.join()
    assert told[0].revision < told[-1].revision <= storm_went_on
    target = new_url()
    for path, standing in zip(backups, told, strict=True):
        assert restore(path, target, replace=True) == standing
        with closing(open_register(target)) as register:
            assert check(register.raw()) == standing.data_version
            (last,) = register.history(limit=1)
            assert (last.seq, last.revision, last.data_version) == (
                standing.revision, standing.revision, standing.data_version)  # fmt: skip
            now = [cell(register, "offtakes", code, "capacity_m3s") for code in ("0012", "0013")]
            raises = sum(now) - 0.55
            assert raises == pytest.approx((standing.revision - 1) / 1000)


def test_a_damaged_backup_changes_nothing(url: str, tmp_path: Path) -> None:
    """A backup in which a number was changed by hand, or that is cut short, is refused."""
    with closing(open_register(url)) as register:
        register.backup(tmp_path / "b.sqlite")
        before = all_of(register)
    whole = (tmp_path / "b.sqlite").read_bytes()
    (tmp_path / "cut.sqlite").write_bytes(whole[: len(whole) // 2])
    with sqlite3.connect(tmp_path / "b.sqlite") as file:
        file.execute("UPDATE offtakes SET capacity_m3s = 9 WHERE offtake_id = '0012'")
    file.close()
    for name in ("b.sqlite", "cut.sqlite"):
        with pytest.raises((StoreFailed, UsageError)):
            restore(tmp_path / name, url, replace=True)
    with closing(open_register(url)) as register:
        assert all_of(register) == before


def test_other_files_are_no_backups(url: str, tmp_path: Path) -> None:
    """A file that is not there, is no database or another's, is refused."""
    (tmp_path / "words.sqlite").write_text("words")
    with sqlite3.connect(tmp_path / "other.sqlite") as file:
        file.execute("CREATE TABLE notes (text)")
    file.close()
    for name in ("nowhere.sqlite", "words.sqlite", "other.sqlite"):
        with pytest.raises(UsageError):
            restore(tmp_path / name, url, replace=True)
    with closing(open_register(url)) as register:
        assert register.standing().revision == 1


def test_a_restore_under_a_running_register_is_seen(register: Register, tmp_path: Path) -> None:
    """Who has the database open sees what was restored, and edits on older values are refused."""
    register.backup(tmp_path / "b.sqlite")
    register.apply(edit(capacity(0.3, 0.35)), check)
    url = register.connected.url.render_as_string(hide_password=False)
    restore(tmp_path / "b.sqlite", url, replace=True)
    assert cell(register, "offtakes", "0012", "capacity_m3s") == 0.3
    with pytest.raises(EditConflict):
        register.apply(edit(capacity(0.35, 0.4)), check)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_backup_of_an_older_form_is_brought_up_to_date(
    url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is migrated in a copy: the file itself stays as it was, and its data come back."""
    with closing(open_register(url)) as register:
        register.backup(tmp_path / "b.sqlite")
        before = all_of(register)
        register.apply(edit(capacity(0.3, 0.35)), check)
    file = (tmp_path / "b.sqlite").read_bytes()
    migrated: list[str] = []
    monkeypatch.setattr(backup, "newest_form", lambda: "a later one")
    monkeypatch.setattr(backup, "migrate", lambda connection: migrated.append(str(connection)))
    restore(tmp_path / "b.sqlite", url, replace=True)
    assert len(migrated) == 1
    assert (tmp_path / "b.sqlite").read_bytes() == file
    with closing(open_register(url)) as register:
        assert all_of(register) == before
