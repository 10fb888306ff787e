"""A trip to the provider is one browser's, good once and for ten minutes.

Sources: RFC 6749, 10.12 (state); RFC 9207 (iss).
"""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest

from slackwater.api.oidc_trip import LASTS_S, MOST_ENDED, Trips
from slackwater.desk.working import Working
from slackwater.errors import SignInRefused
from tests.contracts.oidc.trips_made import BACK, OUT, require_refused, sent_back, service_of
from tests.contracts.openid_provider import Provider
from tests.contracts.test_sign_in import cookie_of
from tests.contracts.with_accounts import Service


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
