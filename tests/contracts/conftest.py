"""The small catchment as a working database, and the service over it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from slackwater.desk.working import Working
from tests.contracts.small_register import client_of, small_working
from tests.quick_passwords import quick_passwords

__all__ = ["quick_passwords"]


@pytest.fixture
def working(tmp_path: Path) -> Iterator[Working]:
    made = small_working(tmp_path / "small.sqlite")
    yield made
    made.close()


@pytest.fixture
def client(working: Working) -> TestClient:
    return client_of(working)
