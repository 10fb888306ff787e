"""Signing in with an OpenID provider: what holds is let in, what does not is refused.

Sources: OpenID Connect Core 1.0, 3.1.2.1 (nonce), 3.1.3.7 (the checks of an id token); Discovery
1.0, 4.3 (issuer); RFC 6749, 10.12 (state); RFC 7636 (PKCE); RFC 8725, 3.1 and 3.2 (algorithms);
RFC 9207 (iss). OWASP ASVS 4.0.3, 3.2.1, 3.5.3 and 13.2.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest
from joserfc.jwk import OctKey, RSAKey

from slackwater.api import oidc_description
from slackwater.api.entry import OidcSettings
from slackwater.api.oidc import MOST_AT_ONCE
from slackwater.api.oidc_settings import CLIENT_ID as ID_STANDS_AT
from slackwater.api.oidc_settings import CLIENT_SECRET as SECRET_STANDS_AT
from slackwater.api.oidc_settings import ISSUER, NAME_CLAIM, oidc_from
from slackwater.api.oidc_trip import LASTS_S, MOST_ENDED, Trips
from slackwater.desk.working import Working
from slackwater.errors import SignInRefused, UsageError
from slackwater.guide.pages import page
from tests.contracts.openid_provider import CLIENT_ID, CLIENT_SECRET, Provider, running
from tests.contracts.small_register import HERE, small_working
from tests.contracts.test_sign_in import cookie_of
from tests.contracts.with_accounts import Browser, Service

OUT, BACK = "/api/sign-in/oidc", "/api/sign-in/oidc/back"


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


def service_of(working: Working, provider: Provider, **more: Any) -> Service:
    """The service that believes a provider."""
    claim = more.pop("name_claim", "preferred_username")
    settings = OidcSettings(provider.issuer, CLIENT_ID, CLIENT_SECRET, claim)
    return Service(working, oidc=settings, **more)


@pytest.fixture
def service(working: Working, provider: Provider) -> Service:
    return service_of(working, provider)


def sent_back(browser: Browser) -> str:
    """Go out to the provider, sign in there, and give where the browser is sent back to."""
    out = browser.get(OUT)
    assert out.status_code == 303, out.text
    back = httpx.get(out.headers["location"])
    assert back.status_code == 302, back.text
    return str(back.headers["location"])


def require_refused(browser: Browser, answer: Any, said: str = "") -> None:
    """Refused on a page without a script; nobody is signed in."""
    assert answer.status_code == 401
    assert answer.headers["content-type"].startswith("text/html")
    assert "<script" not in answer.text
    assert said in answer.text
    assert "slackwater" not in browser.cookies
    assert browser.me()["name"] == ""


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


def test_the_trip_s_cookie_is_short_lived_and_closed(working: Working, provider: Provider) -> None:
    """HttpOnly, for ten minutes, for these addresses alone; Secure where the page is."""
    outside = "river.example.invalid"
    answer = service_of(working, provider, outside=outside).browser().get(OUT)
    cookie = cookie_of(answer, "slackwater_trip")
    assert (cookie["httponly"], cookie["secure"]) == (True, True)
    assert (cookie["path"], cookie["samesite"].lower()) == (OUT, "lax")
    assert int(cookie["max-age"]) == LASTS_S <= 600
    asked = parse_qs(urlsplit(answer.headers["location"]).query)
    assert asked["redirect_uri"] == [f"https://{outside}{BACK}"]


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


def test_an_answer_is_good_once(service: Service, provider: Provider) -> None:
    """The same address again, with the same cookie, signs nobody in: state is used up."""
    browser = service.browser()
    back = sent_back(browser)
    trip = browser.cookies["slackwater_trip"]
    assert browser.get(back).status_code == 303
    again = service.browser()
    again.cookies.set("slackwater_trip", trip)
    provider.codes.update({parse_qs(urlsplit(back).query)["code"][0]: provider.asked[-1]})
    require_refused(again, again.get(back), "begin again")


def test_an_answer_that_another_browser_asked_for_is_refused(service: Service) -> None:
    """RFC 6749, 10.12: nobody can be signed in as the attacker by a link."""
    attacker, victim = service.browser(), service.browser()
    back = sent_back(attacker)
    require_refused(victim, victim.get(back), "begin again")
    sent_back(victim)  # even with a trip of their own under way
    require_refused(victim, victim.get(back), "begin again")


@pytest.mark.parametrize("change", ["state=other", "state=", "nothing"])
def test_a_state_that_is_not_the_cookie_s_is_refused(service: Service, change: str) -> None:
    """Neither another one nor none."""
    browser = service.browser()
    code = parse_qs(urlsplit(sent_back(browser)).query)["code"][0]
    address = f"{BACK}?code={code}" + ("" if change == "nothing" else f"&{change}")
    require_refused(browser, browser.get(address), "begin again")


@pytest.mark.parametrize("cookie", ["", "x", "x.y", "e30.00", "é.é"])
def test_a_trip_s_cookie_that_was_not_made_here_is_refused(service: Service, cookie: str) -> None:
    """Whatever it is, the answer is a refusal and no fault of the service."""
    browser = service.browser()
    back = sent_back(browser)
    browser.cookies.clear()
    headers = {"Cookie": f"slackwater_trip={cookie}".encode()}
    require_refused(browser, browser.get(back, headers=headers), "begin again")


def test_whoever_turns_back_at_the_provider_is_told(service: Service) -> None:
    """An error instead of a code; its words, which anyone may send, are not shown."""
    browser = service.browser()
    state = parse_qs(urlsplit(browser.get(OUT).headers["location"]).query)["state"][0]
    answer = browser.get(f"{BACK}?error=access_denied&error_description=<b>x</b>&state={state}")
    require_refused(browser, answer, "turned back")
    assert "<b>x" not in answer.text


def test_an_answer_of_another_issuer_is_refused(service: Service, provider: Provider) -> None:
    """RFC 9207: the answer names who gave it; one that names another, or none where it must."""
    browser = service.browser()
    require_refused(browser, browser.get(f"{sent_back(browser)}&iss=https://other.example.invalid"))
    browser = service.browser()
    back = f"{sent_back(browser)}&iss={provider.issuer}"
    assert browser.get(back).status_code == 303


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


def test_a_trip_ends_after_ten_minutes() -> None:
    """Whoever comes back later begins again."""
    now = [1000.0]
    trips = Trips(clock=lambda: now[0])
    trip, cookie = trips.begin()
    late, late_cookie = trips.begin()
    now[0] += LASTS_S - 1
    assert trips.end(cookie, trip.state) == trip
    now[0] += 2
    with pytest.raises(SignInRefused):
        trips.end(late_cookie, late.state)


def test_what_is_remembered_of_trips_is_bounded() -> None:
    """However many sign-ins are begun and ended."""
    trips = Trips()
    for _ in range(MOST_ENDED + 5):
        trip, cookie = trips.begin()
        trips.end(cookie, trip.state)
    assert len(trips._ended) == MOST_ENDED


def test_another_process_knows_no_trip() -> None:
    """The key is the process's own."""
    trip, cookie = Trips().begin()
    with pytest.raises(SignInRefused):
        Trips().end(cookie, trip.state)


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
