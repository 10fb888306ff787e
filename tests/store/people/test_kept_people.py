"""What is kept of people: no secret in clear, in backups what lasts, in exports nothing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest
from sqlalchemy import Connection, Table, create_engine, select, text

from slackwater.desk.accounts import Accounts
from slackwater.desk.exporting import export_database
from slackwater.desk.keeping import restore_database
from slackwater.desk.secret import digest_of
from slackwater.errors import NotHere, UsageError
from slackwater.store import Given, Register, migrate_database, open_register, restore
from slackwater.store.migrating import VERSION_TABLE, newest_form
from slackwater.store.migrations.versions import first
from slackwater.store.people_schema import CASE_LINKS, PEOPLE, SESSIONS, SIGN_IN_TRIES, TOKENS
from slackwater.store.schema import METADATA
from tests.store.conftest import NewUrl
from tests.store.people.conftest import OTHER, PASSWORD, Clock, told
from tests.store.postgres import Server
from tests.store.said import capacity, case, check, edit, fresh_id

TABLES = (SESSIONS, TOKENS, SIGN_IN_TRIES, CASE_LINKS, PEOPLE)
FIRST_FORM = {*first.CONTRACT, "register", "relief", "edits", "changes", "editions", "cases",
              "offer_steps"}  # fmt: skip


@dataclass(frozen=True)
class Secrets:
    """What somebody holds that opens something."""

    case_id: str
    session: str
    token: str
    link: str
    typed: str = "a password typed as a name"

    def all(self) -> list[str]:
        return [self.session, self.token, self.link, self.typed, PASSWORD, OTHER]


@pytest.fixture
def held(accounts: Accounts, register: Register) -> Secrets:
    """Everything that can be held of Ines' and Bo's, after some wrong tries."""
    saved = register.save_case(case(register.standing().data_version))
    register.share_case(saved.id, "2026-03-02T08:00:00+00:00")
    accounts.add_person("Bo", ["viewer"], OTHER, "Ines")
    made = Secrets(
        saved.id,
        accounts.sign_in("Ines", PASSWORD),
        accounts.make_token("Ines", "desktop GIS", "read", 90)["secret"],
        accounts.link_case(saved.id, 30, "Ines")["secret"],
    )
    told(lambda: accounts.sign_in(made.typed, PASSWORD))
    told(lambda: accounts.sign_in("Bo", PASSWORD))
    return made


def rows(register: Register, *tables: Table) -> list[tuple[object, ...]]:
    """Give every row of these tables, in order."""
    with register.connected.reading() as connection:
        return [
            tuple(row)
            for table in tables
            for row in connection.execute(select(table).order_by(*table.primary_key))
        ]


def files_of(url: str) -> bytes:
    """Give every byte of a SQLite database, of those files beside it too."""
    path = Path(url.removeprefix("sqlite:///"))
    return b"".join(each.read_bytes() for each in path.parent.glob(f"{path.name}*"))


def test_no_secret_is_kept(held: Secrets, register: Register) -> None:
    """No row holds a password, a session, a token, a link, or what was typed where a name goes."""
    kept = str(rows(register, *TABLES))
    assert digest_of(held.session) in kept
    assert not [each for each in held.all() if each in kept]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_no_byte_of_the_file_tells_a_secret(
    held: Secrets, accounts: Accounts, url: str, register: Register, tmp_path: Path
) -> None:
    """Neither the database's files nor its backup hold one, as text or as random bytes."""
    accounts.change_password("Ines", PASSWORD, OTHER)
    register.backup(tmp_path / "kept.backup")
    for content in (files_of(url), (tmp_path / "kept.backup").read_bytes()):
        assert digest_of(held.token).encode() in content
        assert not [each for each in held.all() if each.encode() in content]


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_backup_holds_no_session(
    held: Secrets, register: Register, url: str, tmp_path: Path
) -> None:
    """Not even in the pages that SQLite leaves behind; nor who tried to sign in."""
    register.backup(tmp_path / "kept.backup")
    content = (tmp_path / "kept.backup").read_bytes()
    assert digest_of(held.session).encode() in files_of(url)
    assert digest_of(held.session).encode() not in content
    with closing(sqlite3.connect(tmp_path / "kept.backup")) as file:
        for table in (SESSIONS, SIGN_IN_TRIES):
            assert file.execute(f"SELECT count(*) FROM {table.name}").fetchone() == (0,)


def test_a_backup_brings_people_back(
    held: Secrets, accounts: Accounts, register: Register, clock: Clock, tmp_path: Path
) -> None:
    """Accounts, tokens and links are as they were, whoever was removed since too; sessions are not:
    everybody signs in anew.
    """
    register.backup(tmp_path / "kept.backup")
    before = accounts.people(), accounts.tokens_of("Ines"), accounts.links_of(held.case_id)
    accounts.remove_person("Bo")
    session = accounts.sign_in("Ines", PASSWORD)
    url = register.connected.url.render_as_string(hide_password=False)
    words = restore_database(tmp_path / "kept.backup", url, replace=True)
    assert "2 accounts as they were then" in words
    again = Accounts(register, clock)
    assert (again.people(), again.tokens_of("Ines"), again.links_of(held.case_id)) == before
    assert again.of_session(session) is None
    assert again.of_session(held.session) is None
    assert again.of_session(again.sign_in("Bo", OTHER)) is not None
    assert again.of_token(held.token) is not None
    assert again.case_of_link(held.link) == held.case_id


@pytest.mark.parametrize("kind", ["sqlite"])
def test_people_move_between_the_stores(
    held: Secrets, accounts: Accounts, register: Register, postgres: Server, tmp_path: Path
) -> None:
    """From a file into PostgreSQL and back, nothing of what lasts is lost."""
    register.backup(tmp_path / "of_file.backup")
    server = postgres.new_database()
    restore(tmp_path / "of_file.backup", server)
    with closing(open_register(server)) as there:
        moved = Accounts(there)
        assert moved.people() == accounts.people()
        session = moved.sign_in("Ines", PASSWORD)
        there.backup(tmp_path / "of_server.backup")
    restore(tmp_path / "of_server.backup", str(tmp_path / "back.sqlite"))
    with closing(open_register(str(tmp_path / "back.sqlite"))) as back:
        assert Accounts(back).of_session(session) is None
        (bo, _), (bo_back, ines_back) = (rows(each, PEOPLE) for each in (register, back))
        assert bo_back == bo
        assert ines_back[0] == "ines"
        for table in (TOKENS, CASE_LINKS):
            assert rows(back, table) == rows(register, table)
        assert rows(back, CASE_LINKS)[0][1] == held.case_id


@pytest.mark.parametrize("kind", ["sqlite"])
def test_people_alone_are_data(new_url: NewUrl, register: Register, tmp_path: Path) -> None:
    """A backup does not go over a database that holds nothing but people, unless told to."""
    register.backup(tmp_path / "kept.backup")
    url = new_url()
    with closing(open_register(url, create=True)) as other:
        Accounts(other).add_person("Bo", ["lead"], None, "x")
    with pytest.raises(UsageError, match="--replace"):
        restore(tmp_path / "kept.backup", url)


@pytest.mark.parametrize("out", ["out.gpkg", "out.xlsx", "folder"])
@pytest.mark.parametrize("kind", ["sqlite"])
def test_an_export_tells_nothing_of_people(
    held: Secrets, accounts: Accounts, url: str, tmp_path: Path, out: str
) -> None:
    """No name, no token's title, no digest is in any file that is written."""
    accounts.add_person("Zebedee Q", ["viewer"], None, "Ines")
    written = tmp_path / "written"
    written.mkdir()
    export_database(url, written / out)
    files = [each for each in written.rglob("*") if each.is_file()]
    assert files
    content = b"".join(each.read_bytes() for each in files)
    for told_nowhere in ("Zebedee", "desktop GIS", digest_of(held.token), "argon2", "password"):
        assert told_nowhere.encode() not in content


def to_first_form(connection: Connection) -> None:
    """Take away what later forms brought."""
    for table in reversed(METADATA.sorted_tables):
        if table.name not in FIRST_FORM:
            table.drop(connection)
    connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '0001'"))


@pytest.fixture
def own_url(kind: str, request: pytest.FixtureRequest, tmp_path: Path, umber: Given) -> str:
    """A database with the tiny catchment that no other test uses."""
    url = str(tmp_path / "own.sqlite")
    if kind == "postgresql":
        url = request.getfixturevalue("postgres").new_database()
    with closing(open_register(url, create=True)) as register:
        register.replace(umber, check, edit_id=fresh_id(), why="the first import")
    return url


def test_a_database_of_the_first_form_gets_people(own_url: str, clock: Clock) -> None:
    """Migrated it holds all it held, and people can be added; before, it says how."""
    url = own_url
    with closing(open_register(url)) as register:
        register.apply(edit(capacity(0.3, 0.35)), check)
        saved = register.save_case(case(register.standing().data_version))
        with register.connected.writing() as connection:
            to_first_form(connection)
    with pytest.raises(UsageError, match="slackwater migrate --database"):
        open_register(url)
    assert migrate_database(url) == ("0001", newest_form())
    with closing(open_register(url)) as register:
        assert check(register.raw()) == register.standing().data_version == saved.data_version
        assert register.case(saved.id) == saved
        assert len(register.history()) == 2
        accounts = Accounts(register, clock)
        assert accounts.people() == []
        accounts.add_person("Bo", ["lead"], PASSWORD, "x")
        assert accounts.of_session(accounts.sign_in("Bo", PASSWORD)) is not None


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_backup_of_the_first_form_comes_back(register: Register, tmp_path: Path) -> None:
    """One made before there were people restores, with none."""
    register.backup(tmp_path / "kept.backup")
    engine = create_engine(f"sqlite:///{tmp_path}/kept.backup")
    with engine.begin() as connection:
        to_first_form(connection)
    engine.dispose()
    url = str(tmp_path / "back.sqlite")
    assert restore(tmp_path / "kept.backup", url) == register.standing()
    with closing(open_register(url)) as back:
        assert Accounts(back).people() == []
        with pytest.raises(NotHere):
            Accounts(back).case_of_link("none")
