"""Signing in with an OpenID provider: who is let in, and what is said where it cannot be done.

Sources: OpenID Connect Core 1.0, 3.1.2.1 (nonce); Discovery 1.0, 4.3 (issuer); RFC 7636 (PKCE).
OWASP ASVS 4.0.3, 3.2.1 and 13.2.
"""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest

from slackwater.api.oidc import MOST_AT_ONCE
from slackwater.desk.working import Working
from tests.contracts.oidc.trips_made import BACK, OUT, require_refused, sent_back, service_of
from tests.contracts.openid_provider import CLIENT_ID, Provider, running
from tests.contracts.small_register import HERE
from tests.contracts.test_sign_in import cookie_of
from tests.contracts.with_accounts import Service


def test_whoever_the_provider_names_and_somebody_added_is_signed_in(service: Service) -> None:
    """Back at the map with a session of the service's own; its ways name the provider."""
    browser = service.browser()
    assert browser.me()["ways"] == ["password", "oidc"]
    answer = browser.get(sent_back(browser))
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert (browser.me()["name"], browser.me()["roles"]) == ("ada", ["lead"])
    cookie = cookie_of(answer)
    assert (cookie["httponly"], cookie["samesite"].lower(), cookie["path"]) == (True, "lax", "/")


def test_the_provider_is_asked_with_state_nonce_and_proof_key(service: Service) -> None:
    """Each new every time, none shorter than 256 bits; the code flow and nothing of the account."""
    browser, seen = service.browser(), []
    for _ in range(2):
        asked = {k: v[0] for k, v in parse_qs(
            urlsplit(browser.get(OUT).headers["location"]).query).items()}  # fmt: skip
        assert asked["response_type"] == "code"
        assert asked["client_id"] == CLIENT_ID
        assert asked["redirect_uri"] == f"{HERE}{BACK}"
        assert asked["scope"] == "openid profile"
        assert asked["code_challenge_method"] == "S256"
        assert min(len(asked[name]) for name in ("state", "nonce", "code_challenge")) >= 43
        seen += [asked["state"], asked["nonce"], asked["code_challenge"]]
    assert len(set(seen)) == 6


def test_somebody_whom_nobody_added_is_refused_in_plain_words(
    service: Service, provider: Provider
) -> None:
    """Being known to the provider is not enough; a locked account is told alike."""
    told = []
    for name in ("mallory", "grace"):
        service.accounts.change_person("grace", locked=True)
        provider.who = {"preferred_username": name}
        browser = service.browser()
        answer = browser.get(sent_back(browser))
        require_refused(browser, answer, "Not signed in")
        told.append(answer.text)
    service.accounts.change_person("grace", locked=False)
    assert told[0] == told[1]


def test_signing_in_there_gives_a_new_session_and_ends_the_old(service: Service) -> None:
    """ASVS 3.2.1: the session from before is over, whoever holds it."""
    browser = service.browser("vera")
    before = browser.cookies["slackwater"]
    assert browser.get(sent_back(browser)).status_code == 303
    assert browser.me()["name"] == "ada"
    other = service.browser()
    other.cookies.set("slackwater", before)
    assert other.me()["name"] == ""


@pytest.mark.parametrize(
    "description",
    [
        {"issuer": "https://other.example.invalid"},
        {"token_endpoint": "http://other.example.invalid/token"},
        {"authorization_endpoint": "javascript:alert(1)"},
        {"jwks_uri": None},
    ],
)
def test_a_description_that_is_not_the_issuer_s_is_refused(
    service: Service, provider: Provider, description: dict[str, Any]
) -> None:
    """Discovery 1.0, 4.3; and no secret goes to an address at which others could listen."""
    provider.description = description
    answer = service.browser().get(OUT)
    assert answer.status_code == 503
    assert "cannot be reached" in answer.text
    assert "location" not in answer.headers


def test_a_provider_that_is_down_is_said(working: Working) -> None:
    """503 with a sentence; passwords go on."""
    with running(Provider()) as gone:
        service = service_of(working, gone)
    assert service.browser().get(OUT).status_code == 503
    assert service.browser().sign_in("ada").status_code == 200


def test_a_provider_that_hangs_holds_a_few_threads_alone(
    service: Service, provider: Provider
) -> None:
    """While it does not answer, those beyond the eighth are told so at once; the others go on."""
    beyond = 4
    with ThreadPoolExecutor(MOST_AT_ONCE + beyond) as pool:
        with provider.hanging():
            asked = [pool.submit(service.browser().get, OUT) for _ in range(MOST_AT_ONCE + beyond)]
            end = time.monotonic() + 8
            while sum(each.done() for each in asked) < beyond and time.monotonic() < end:
                time.sleep(0.02)
            told = [each.result() for each in asked if each.done()]
        answers = [each.result().status_code for each in asked]
    assert [answer.status_code for answer in told] == [503] * beyond
    assert all("in a moment" in answer.text for answer in told)
    assert sorted(answers) == [303] * MOST_AT_ONCE + [503] * beyond


def test_an_e_mail_address_counts_once_it_was_verified(
    working: Working, provider: Provider
) -> None:
    """Else whoever writes another's address into their profile would be them."""
    service = service_of(working, provider, name_claim="email")
    if "kim@river.example" not in {each["name"] for each in service.accounts.people()}:
        service.accounts.add_person("kim@river.example", ["viewer"], None, "test")
    for verified, name in ((None, ""), (False, ""), ("true", ""), (True, "kim@river.example")):
        provider.who = {"email": "kim@river.example", "email_verified": verified}
        browser = service.browser()
        browser.get(sent_back(browser))
        assert browser.me()["name"] == name
