"""A service over either store, and a run to write notes in."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.store.field.at_pump import Desk, Phone, a_run, served


@pytest.fixture
def desk(url: str) -> Iterator[Desk]:
    """The service over a database of the tiny catchment."""
    with served(url) as made:
        yield made


@pytest.fixture
def phone(desk: Desk) -> Phone:
    """A phone that took a run of both offtakes along."""
    return Phone(desk.book.put_run(a_run("0012", "0013")).id)
