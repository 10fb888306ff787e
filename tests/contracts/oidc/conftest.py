"""A service that believes a provider, and the provider."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from slackwater.desk.working import Working
from tests.contracts.oidc.trips_made import service_of
from tests.contracts.openid_provider import Provider, running
from tests.contracts.small_register import small_working
from tests.contracts.with_accounts import Service


@pytest.fixture(scope="module")
def working(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Working]:
    made = small_working(tmp_path_factory.mktemp("oidc") / "small.sqlite")
    yield made
    made.close()


@pytest.fixture
def provider(monkeypatch: pytest.MonkeyPatch) -> Iterator[Provider]:
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")
    with running(Provider()) as one:
        yield one


@pytest.fixture
def service(working: Working, provider: Provider) -> Service:
    return service_of(working, provider)
