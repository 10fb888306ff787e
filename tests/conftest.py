"""What holds for every test: hypothesis without chance or clock, long tests only when asked for,
one browser for all."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, Phase, settings
from playwright.sync_api import Browser, sync_playwright

CHROMIUM = "/usr/bin/chromium-headless-shell"
"""Debian's Chromium without a window: the same engine for a quarter less work."""
QUIET = [
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


MANY = {
    "laws": (4, 5), "reference": (4, 5), "journeys": (2, 3), "contracts": (7, 4), "store": (6, 3),
}  # fmt: skip
"""Folder -> above how many cases a test has many, and which of them the short run takes: every
so-manieth."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what is marked long, and most of the many cases of one test, unless asked for."""
    if config.getoption("--long") or config.getoption("-m") == "long":
        return
    skip = pytest.mark.skip(reason="many rounds: run with --long")
    cases: dict[tuple[str, str], list[pytest.Item]] = {}
    for item in items:
        if "long" in item.keywords:
            item.add_marker(skip)
        elif hasattr(item, "callspec"):
            cases.setdefault((str(item.path), getattr(item, "originalname", "")), []).append(item)
    for (path, _), alike in cases.items():
        most, every = next((MANY[each] for each in MANY if f"/tests/{each}/" in path), (0, 1))
        if len(alike) > most:
            for position, item in enumerate(alike):
                if position % every:
                    item.add_marker(skip)


def pytest_collection_finish() -> None:
    """Look for garbage seldom, and not among what was imported: a fifth of the time went there."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 100)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A quiet Chromium; the library allows one at a time in a process."""
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield browser
        browser.close()
