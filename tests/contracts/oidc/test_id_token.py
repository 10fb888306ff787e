"""Which id tokens hold? One claim, key or algorithm that is wrong, and nobody is signed in.

Sources: OpenID Connect Core 1.0, 3.1.3.7 (the checks of an id token); RFC 8725, 3.1 and 3.2
(algorithms). OWASP ASVS 4.0.3, 3.5.3.
"""

from __future__ import annotations

import time

import pytest
from joserfc.jwk import OctKey, RSAKey

from slackwater.api import oidc_description
from tests.contracts.oidc.trips_made import require_refused, sent_back
from tests.contracts.openid_provider import CLIENT_ID, CLIENT_SECRET, Provider
from tests.contracts.with_accounts import Service

FORGED = {
    "another audience": {"aud": "another client"},
    "another issuer": {"iss": "https://other.example.invalid"},
    "another nonce": {"nonce": "replayed"},
    "no nonce": {"nonce": None},
    "no audience": {"aud": None},
    "no issuer": {"iss": None},
    "no expiry": {"exp": None},
    "expired": {"exp": int(time.time()) - 3600},
    "not yet good": {"nbf": int(time.time()) + 3600},
    "made in the future": {"iat": int(time.time()) + 3600},
    "for several, meant for another": {"aud": [CLIENT_ID, "other"], "azp": "other"},
    "for several, nobody said for whom": {"aud": [CLIENT_ID, "other"]},
    "another access token": {"at_hash": "AAAAAAAAAAAAAAAAAAAAAA"},
    "no name": {"preferred_username": None},
    "an empty name": {"preferred_username": "  "},
    "a name that is none": {"preferred_username": ["ada"]},
}


@pytest.mark.parametrize("what", FORGED)
def test_an_id_token_that_does_not_hold_is_refused(
    service: Service, provider: Provider, what: str
) -> None:
    """OpenID Connect Core 1.0, 3.1.3.7: one claim is wrong, and nobody is signed in."""
    provider.claims = FORGED[what]
    browser = service.browser()
    said = "does not say who it is" if "name" in what else "does not hold"
    require_refused(browser, browser.get(sent_back(browser)), said)


def test_a_signature_by_another_key_is_refused(service: Service, provider: Provider) -> None:
    """A forger signs with a key of their own under the name of the provider's."""
    provider.signed_by = RSAKey.generate_key(2048, {"kid": "one"})
    browser = service.browser()
    require_refused(browser, browser.get(sent_back(browser)), "does not hold")


def test_a_token_without_a_signature_or_signed_by_a_shared_secret_is_refused(
    service: Service, provider: Provider
) -> None:
    """RFC 8725, 3.1 and 3.2: ``none``, the client's secret, and the published key as a secret."""
    public = provider.key.as_pem(private=False)
    for alg, key in (("none", None), ("HS256", OctKey.import_key(CLIENT_SECRET)),
                     ("HS256", OctKey.import_key(public.replace(b"-----", b"")))):  # fmt: skip
        provider.alg, provider.signed_by = alg, key
        browser = service.browser()
        require_refused(browser, browser.get(sent_back(browser)), "does not hold")


def test_a_provider_s_new_key_is_found(
    service: Service, provider: Provider, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Keys change: one that is not known has them read again, at most once a minute."""
    browser = service.browser()
    browser.get(sent_back(browser))
    assert (browser.me()["name"], provider.keys_read) == ("ada", 1)
    provider.key = RSAKey.generate_key(2048, {"kid": "one"})
    for _ in range(2):
        browser = service.browser()
        require_refused(browser, browser.get(sent_back(browser)), "does not hold")
    assert provider.keys_read == 1
    monkeypatch.setattr(oidc_description, "LEAST_BETWEEN_S", 0.0)  # a minute goes by
    browser = service.browser()
    browser.get(sent_back(browser))
    assert (browser.me()["name"], provider.keys_read) == ("ada", 2)
