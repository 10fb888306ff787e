"""What holds for every test: hypothesis without chance or clock, long tests only when asked for."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, settings

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
