"""Each journey here writes notes: it has a database of its own, and a run of three stops."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.at_work import at_work
from tests.journeys.field.at_bank import Run, made_run


@pytest.fixture
def run(tmp_path: Path) -> Iterator[Run]:
    """A run on a working database of the demo, served."""
    with at_work(tmp_path) as address:
        yield made_run(address)
