"""Where a database is, and what is said when it is not there, not ours, or not to be had."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from slackwater.errors import Busy, SlackwaterError, StoreFailed, UsageError
from slackwater.store import Given, Register, address, open_register
from slackwater.store.address import address_of, connect, shown
from slackwater.store.connected import Connected
from tests.store.postgres import Server, cluster
from tests.store.said import capacity, check, edit, fresh_id

SECRET = "h0rse-battery"
only_sqlite = pytest.mark.parametrize("kind", ["sqlite"])


def test_a_path_and_a_url_name_the_same_file(tmp_path: Path) -> None:
    """A path with a database's ending is as good as its URL."""
    with closing(open_register(str(tmp_path / "a.sqlite"), create=True)):
        pass
    with closing(open_register(f"sqlite:///{tmp_path}/a.sqlite")) as register:
        assert register.standing().revision == 0


@pytest.mark.parametrize("text", [
    "mysql://u:p@h/x", "sqlite://", "sqlite:///:memory:", "lantern.gpkg", "", "postgresql",
    "://", "postgresql://h:port/x",
])  # fmt: skip
def test_what_is_no_address_is_refused(text: str) -> None:
    """Another kind of database, or none, is bad usage."""
    with pytest.raises(UsageError):
        open_register(text)


def test_a_missing_file_is_not_made(tmp_path: Path) -> None:
    """Opening makes nothing, unless it is asked to."""
    with pytest.raises(UsageError, match="slackwater import"):
        open_register(str(tmp_path / "a.sqlite"))
    assert list(tmp_path.iterdir()) == []


def test_other_files_are_told_apart(tmp_path: Path) -> None:
    """No database, another program's, an empty one, a folder: each is named and left alone."""
    (tmp_path / "words.db").write_text("words, words, words")
    with sqlite3.connect(tmp_path / "other.db") as file:
        file.execute("CREATE TABLE reaches (name)")
    file.close()
    (tmp_path / "empty.db").write_bytes(b"")
    (tmp_path / "folder.db").mkdir()
    said = {"words.db": "not a database", "other.db": "another program", "empty.db": "is empty",
            "folder.db": "not a file"}  # fmt: skip
    for name, told in said.items():
        with pytest.raises(UsageError, match=told):
            open_register(str(tmp_path / name))
    with pytest.raises(UsageError, match="another program"):
        open_register(str(tmp_path / "other.db"), create=True)


@only_sqlite
def test_the_file_is_its_owner_s_alone(register: Register, url: str) -> None:
    """From its first moment nobody else can read it, nor the two files beside it."""
    register.apply(edit(capacity(0.3, 0.35)), check)
    path = Path(url.removeprefix("sqlite:///"))
    files = sorted(path.parent.glob(f"{path.name}*"))
    assert [file.suffix for file in files] == [".sqlite", ".sqlite-shm", ".sqlite-wal"]
    assert {file.stat().st_mode & 0o777 for file in files} == {0o600}


@only_sqlite
def test_a_file_waits_for_nothing_it_could_lose(register: Register) -> None:
    """It keeps a log that is on disk at each commit, and holds links."""
    with register.connected.reading() as connection:
        told = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
    assert told == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}


@only_sqlite
def test_a_locked_file_is_said_to_be_busy(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another program keeps it locked, the writer is told to try again; readers read on."""
    monkeypatch.setattr(address, "PATIENCE_S", 0.2)
    holder = sqlite3.connect(url.removeprefix("sqlite:///"), isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with closing(open_register(url)) as register:
        assert register.standing().revision == 1
        with pytest.raises(Busy):
            register.apply(edit(capacity(0.3, 0.35)), check)
        holder.execute("ROLLBACK")
        assert register.apply(edit(capacity(0.3, 0.35)), check).standing.revision == 2
    holder.close()


@only_sqlite
def test_a_file_that_may_not_be_written_is_named(url: str) -> None:
    """Where SQLite may only read, the file is told, and what it needs."""
    register = Register(Connected(connect(address_of(url), read_only=True), address_of(url)))
    with closing(register), pytest.raises(UsageError, match=r"sqlite cannot be written.*folder"):
        register.apply(edit(capacity(0.3, 0.35)), check)


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    """Where there is no folder for the file, that is told."""
    with pytest.raises(UsageError, match="cannot be made"):
        open_register(str(tmp_path / "no" / "a.sqlite"), create=True)


@contextmanager
def refused(url: str) -> Iterator[list[str]]:
    """Expect an error of ours; its text, and that of all it came from, must hold no password."""
    told: list[str] = []
    with pytest.raises(SlackwaterError) as caught:
        yield told
    told.append(str(caught.value))
    assert SECRET not in told[0]
    assert urlsplit(url).hostname in told[0]


def test_a_password_is_never_told(postgres: Server) -> None:
    """Wrong user, password, database or port: each is said plainly, none with the password."""
    postgres.run("CREATE ROLE keeper LOGIN PASSWORD 'another'")
    rules = postgres.folder / "data" / "pg_hba.conf"
    rules.write_text(f"host all keeper 127.0.0.1/32 scram-sha-256\n{rules.read_text()}")
    postgres.run("SELECT pg_reload_conf()")
    host, port = "127.0.0.1", postgres.port
    asked = {
        f"postgresql://keeper:{SECRET}@{host}:{port}/postgres": "user or the password is not",
        f"postgresql://keeper@{host}:{port}/postgres": "user or the password is not",
        f"postgresql://nobody:{SECRET}@{host}:{port}/postgres": "no such user",
        f"postgresql://postgres:{SECRET}@{host}:{port}/nothing": "no such database",
        f"postgresql://postgres:{SECRET}@{host}:1/postgres": "cannot be reached",
    }
    for url, words in asked.items():
        with refused(url) as told:
            open_register(url)
        assert words in told[0], told
    assert SECRET not in shown(address_of(next(iter(asked))))
    assert SECRET not in repr(address_of(next(iter(asked))))


def test_without_postgis_that_is_said(postgres: Server) -> None:
    """Who may not add PostGIS is told what the administrator has to run."""
    postgres.run("CREATE ROLE tenant LOGIN")
    name = urlsplit(postgres.new_database()).path[1:]
    postgres.run(f"ALTER DATABASE {name} OWNER TO tenant")
    url = f"postgresql://tenant@127.0.0.1:{postgres.port}/{name}"
    with pytest.raises(UsageError, match="CREATE EXTENSION postgis"):
        open_register(url, create=True)
    postgres.run("CREATE EXTENSION postgis", name)
    with closing(open_register(url, create=True)) as register:
        assert register.standing().revision == 0


def test_a_server_s_database_is_filled_only_on_purpose(postgres: Server) -> None:
    """An empty database stays empty until something is imported."""
    url = postgres.new_database()
    with pytest.raises(UsageError, match="slackwater import"):
        open_register(url)
    name = urlsplit(url).path[1:]
    count = "SELECT count(*) FROM pg_tables WHERE schemaname = 'public'"
    assert postgres.run(count, name).strip() == "0"


def test_a_server_that_went_away_is_said(umber: Given) -> None:
    """Stopped under us, the database is said to be out of reach; started again, work goes on."""
    with cluster() as server:
        url = server.new_database()
        with closing(open_register(url, create=True)) as register:
            register.replace(umber, check, edit_id=fresh_id(), why="first")
            server.stop_now()
            with pytest.raises(StoreFailed):
                register.apply(edit(capacity(0.3, 0.35)), check)
            server.start()
            assert register.apply(edit(capacity(0.3, 0.35)), check).standing.revision == 2
