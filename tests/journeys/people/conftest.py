"""Journeys of people who sign in: one service for what changes nothing, else one each."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.people.entering import Place, with_people


@pytest.fixture(scope="session")
def shown_place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Place]:
    """A service whose data and people stay as they are."""
    with with_people(tmp_path_factory.mktemp("people")) as place:
        yield place


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    """A service of one test's own."""
    with with_people(tmp_path) as made:
        yield made
