"""Each journey here changes the data: it has a database of its own, and a page of its lead's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.journeys.at_work import at_work, lead_at_work
from tests.journeys.test_map import DESK


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A working database of the demo, served."""
    with at_work(tmp_path) as here:
        yield here


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """The lead's page on a desk."""
    with lead_at_work(browser, address, DESK) as page:
        yield page
