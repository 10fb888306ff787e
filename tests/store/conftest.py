"""Both stores, a SQLite file and a real PostgreSQL with PostGIS: contract tests run on both."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import delete, insert

from slackwater.desk.importing import read_given
from slackwater.store import Given, Register, open_register
from slackwater.store.schema import METADATA, REGISTER
from tests.files import tiny
from tests.store.postgres import Server, cluster
from tests.store.said import check, fresh_id
from tests.store.served import Serve, Served, serve

NewUrl = Callable[[], str]
KINDS = ("sqlite", "postgresql")
TEXTS = ("data_version", "changed_at", "default_name", "settings")


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """A server for the whole run."""
    with cluster() as server:
        yield server


@pytest.fixture(scope="session")
def made(postgres: Server) -> list[str]:
    """Databases on it with our tables; tests take turns, for making one takes its time."""
    urls = [postgres.new_database() for _ in range(2)]
    for each in urls:
        open_register(each, create=True).close()
    return urls


@pytest.fixture(params=KINDS)
def kind(request: pytest.FixtureRequest) -> str:
    """Which store."""
    return str(request.param)


@pytest.fixture
def new_url(kind: str, request: pytest.FixtureRequest, tmp_path: Path) -> NewUrl:
    """Addresses at which there is nothing yet (PostgreSQL: two, with tables but no data)."""
    if kind == "sqlite":
        numbers = count()
        return lambda: f"sqlite:///{tmp_path}/{next(numbers)}.sqlite"
    urls = iter(request.getfixturevalue("made"))
    return lambda: emptied(next(urls))


def emptied(url: str) -> str:
    """Take all rows out of a database."""
    register = open_register(url)
    with register.connected.writing() as connection:
        for table in reversed(METADATA.sorted_tables):
            connection.execute(delete(table))
        zero = {"one": 1, "revision": 0, **dict.fromkeys(TEXTS, "")}
        connection.execute(insert(REGISTER), zero)
    register.close()
    return url


@pytest.fixture(scope="session")
def umber(tmp_path_factory: pytest.TempPathFactory) -> Given:
    """A tiny catchment as it was given."""
    folder = tiny.save_folder(tmp_path_factory.mktemp("given") / "umber")
    return read_given(folder)[0]


@pytest.fixture
def url(new_url: NewUrl, umber: Given) -> str:
    """A database that holds the tiny catchment."""
    made = new_url()
    register = open_register(made, create=True)
    register.replace(umber, check, edit_id=fresh_id(), why="the first import")
    register.close()
    return made


@pytest.fixture
def register(url: str) -> Iterator[Register]:
    """That database, opened."""
    opened = open_register(url)
    yield opened
    opened.close()


@pytest.fixture
def serving(url: str, tmp_path: Path) -> Iterator[Serve]:
    """Start the service over the database; whatever still runs at the end is ended."""
    running: list[Served] = []

    def start(**more: Any) -> Served:
        running.append(serve(url, tmp_path / "log", **more))
        return running[-1]

    yield start
    for each in running:
        if each.process.poll() is None:
            each.kill()
