"""Journeys of field days: those that write have a database of their own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.journeys.at_work import at_work, lead_at_work
from tests.journeys.test_map import DESK


@pytest.fixture
def own_address(tmp_path: Path) -> Iterator[str]:
    """A working database of the demo that this test may write to."""
    with at_work(tmp_path) as here:
        yield here


@pytest.fixture
def own_page(browser: Browser, own_address: str) -> Iterator[Page]:
    """The lead's page on it."""
    with lead_at_work(browser, own_address, DESK) as page:
        yield page


@pytest.fixture
def page(browser: Browser, work_address: str) -> Iterator[Page]:
    """The lead's page on a database that nobody here writes to."""
    with lead_at_work(browser, work_address, DESK) as page:
        yield page
