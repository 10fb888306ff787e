"""What holds for every test: hypothesis without chance or clock, long tests only when asked for,
one browser for all."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, Phase, settings
from playwright.sync_api import Browser, sync_playwright

CHROMIUM = "/usr/bin/chromium"
QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

settings.register_profile(
    "house",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=30,
    phases=[Phase.explicit, Phase.generate],  # a seed has no simpler form to shrink to
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
settings.load_profile("house")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add ``--long``."""
    parser.addoption("--long", action="store_true", help="run the tests of many rounds too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what is marked long, unless asked for."""
    if config.getoption("--long") or "long" in (config.getoption("-m") or ""):
        return
    skip = pytest.mark.skip(reason="many rounds: run with --long")
    for item in items:
        if "long" in item.keywords:
            item.add_marker(skip)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A quiet Chromium; the library allows one at a time in a process."""
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield browser
        browser.close()
