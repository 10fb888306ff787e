"""One agency for all attacks: what they try is judged by what it was before each."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from slackwater.api.calling import Known
from tests.contracts.private.agency import Agency, agency, let_guess


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Agency]:
    """An agency with a map for the public, its secrets in every closed column."""
    with agency(tmp_path_factory.mktemp("attacked")) as made:
        yield made


@pytest.fixture
def unhurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """An attacker with as many addresses as they like."""
    monkeypatch.setattr(Known, "_too_many", lambda *_: None)
    let_guess(monkeypatch)
