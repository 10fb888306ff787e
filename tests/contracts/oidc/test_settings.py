"""Which provider is believed? What the environment names, whole or not at all."""

from __future__ import annotations

import pytest

from slackwater.api.entry import OidcSettings
from slackwater.api.oidc_settings import CLIENT_ID as ID_STANDS_AT
from slackwater.api.oidc_settings import CLIENT_SECRET as SECRET_STANDS_AT
from slackwater.api.oidc_settings import ISSUER, NAME_CLAIM, oidc_from
from slackwater.errors import UsageError
from slackwater.guide.pages import page
from tests.contracts.oidc.trips_made import BACK, OUT, sent_back
from tests.contracts.openid_provider import CLIENT_SECRET
from tests.contracts.with_accounts import Service

GOOD = {"SLACKWATER_OIDC_ISSUER": "https://id.river.example", "SLACKWATER_OIDC_CLIENT_ID": "river"}


def test_the_provider_is_named_in_the_environment() -> None:
    """None without an issuer; the usual claim unless another is named; no secret in its words."""
    assert oidc_from({}) is None
    found = oidc_from({**GOOD, "SLACKWATER_OIDC_CLIENT_SECRET": "hush-hush"})
    assert found == OidcSettings("https://id.river.example", "river", "hush-hush")
    assert "hush" not in repr(found)
    assert oidc_from({**GOOD, "SLACKWATER_OIDC_NAME_CLAIM": "email"}).name_claim == "email"


@pytest.mark.parametrize(
    "changed",
    [
        {"SLACKWATER_OIDC_CLIENT_ID": ""},
        {"SLACKWATER_OIDC_ISSUER": "http://id.river.example"},
        {"SLACKWATER_OIDC_ISSUER": "id.river.example"},
        {"SLACKWATER_OIDC_ISSUER": "https://id.river.example?x=1"},
    ],
)
def test_half_a_provider_is_refused(changed: dict[str, str]) -> None:
    """Said before anything is served, by the name of what is wrong."""
    with pytest.raises(UsageError, match="SLACKWATER_OIDC"):
        oidc_from({**GOOD, **changed})


def test_the_service_never_tells_the_client_s_secret(service: Service) -> None:
    """Nowhere on the way out or back."""
    browser = service.browser()
    out = browser.get(OUT)
    told = out.text + str(out.headers) + browser.get(sent_back(browser)).text
    assert CLIENT_SECRET not in told
    assert "of no use here" not in told


def test_the_guide_names_what_is_set_in_the_environment() -> None:
    """Each variable, and the address to register."""
    hosting = page("hosting")
    for name in (ISSUER, ID_STANDS_AT, SECRET_STANDS_AT, NAME_CLAIM):
        assert f"`{name}`" in hosting
    assert f"`https://river.example{BACK}`" in hosting
