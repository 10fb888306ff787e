"""Guessing passwords and names leads nowhere, however it is spelt and wherever it comes from.

Source: OWASP ASVS 4.0.3, 2.2.1 (tries are limited), 2.2.2-2.2.3, 3.2.4 (nothing guessable), 7.4.1;
OWASP Web Security Testing Guide 4.2, 4.3.4 (names told by words or time), 4.4.3 (lock-out).
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from typing import Any

import pytest

from tests.contracts.small_register import small_working
from tests.contracts.with_accounts import PASSWORDS, Service

LOCKED, REFUSED = (429, "locked_out"), (401, "sign_in_refused")
SPELT = ("ada", "ADA", " ada", "ada ", "\tada\n", "Ada", "\uff41\uff44\uff41", "aDa", "ad\uff41",
         "\u2003ada\u2003", "\U0001d41a\U0001d41d\U0001d41a")  # fmt: skip
"""One name: by capitals, spaces, full width and mathematical letters."""


@pytest.fixture
def service(tmp_path: Any, request: pytest.FixtureRequest) -> Iterator[Service]:
    request.getfixturevalue("unhurried")
    working = small_working(tmp_path / "small.sqlite")
    yield Service(working)
    working.close()


def tried(service: Service, name: str, password: str = "not the password at all") -> Any:
    answer = service.browser().sign_in(name, password)
    return answer.status_code, answer.json().get("error", {}).get("code")


def test_another_spelling_of_a_name_is_no_further_try(service: Service) -> None:
    """Five tries in all, then the right password is not looked at either."""
    told = [tried(service, name) for name in SPELT]
    assert told[:5] == [REFUSED] * 5
    assert set(told[5:]) <= {LOCKED, REFUSED}
    assert told.count(REFUSED) == 5
    assert tried(service, "ada", PASSWORDS["ada"]) == LOCKED


def test_a_right_password_elsewhere_frees_nobody_s_tries(service: Service) -> None:
    """Signing in as oneself between two guesses does not begin the count for another anew."""
    for _ in range(5):
        assert tried(service, "ada") == REFUSED
        assert service.browser().sign_in("vera").status_code == 200
    assert tried(service, "ada", PASSWORDS["ada"]) == LOCKED


def test_locked_names_and_unknown_names_are_told_alike(service: Service) -> None:
    """The same words, statuses and headers in the same order, whether there is somebody or not."""

    def told(name: str) -> list[Any]:
        answers = [service.browser().sign_in(name, "wrong words in a row") for _ in range(7)]
        return [(each.status_code, each.text, sorted(each.headers)) for each in answers]

    assert told("ada") == told("nobody at all")


def test_a_changed_password_is_guessed_no_faster(service: Service) -> None:
    """Whoever found an open session does not try old passwords there without end."""
    vera = service.browser("vera")
    body = {"old": "not the password at all", "new": "herons over the reeds"}
    told = [vera.post("/api/password", json=body).status_code for _ in range(7)]
    assert told[:5] == [401] * 5
    assert 429 in told[5:]


def test_an_address_is_not_one_s_own_to_choose(tmp_path: Any) -> None:
    """What a request says of where it comes from is not believed: ten tries a minute remain ten."""
    working = small_working(tmp_path / "small.sqlite")
    service = Service(working)
    said = []
    for number in range(14):
        headers = dict.fromkeys(("X-Forwarded-For", "X-Real-IP", "Forwarded", "Client-IP",
                                 "True-Client-IP", "CF-Connecting-IP", "X-Originating-IP"),
                                 f"198.51.100.{number}")  # fmt: skip
        body = {"name": f"name {number}", "password": "guess a few words"}
        said.append(service.browser().post("/api/sign-in", json=body, headers=headers).status_code)
    assert said == [401] * 10 + [429] * 4
    working.close()


@pytest.mark.long
def test_an_unknown_name_takes_as_long_as_a_known_one(service: Service) -> None:
    """Medians of turns taken one by one lie within a quarter of each other, whatever the machine
    does."""
    taken: dict[str, list[float]] = {"vera": [], "nobody": [], "locked": []}
    service.accounts.change_person("grace", locked=True)
    for turn in range(12):
        for kind, name in (("vera", "vera"), ("nobody", f"nobody {turn}"), ("locked", "grace")):
            began = time.perf_counter()
            tried(service, name)
            taken[kind].append(time.perf_counter() - began)
            if name == "vera":
                service.browser().sign_in("vera")  # its tries begin anew
    first, *others = (statistics.median(each[:5]) for each in taken.values())
    assert all(0.75 < each / first < 1.33 for each in others), taken


@pytest.mark.parametrize("password", ["", " ", "\x00", "a" * 1001, "\ud800", "%00", "null", "[]"])
def test_a_strange_password_is_refused_and_nothing_more(service: Service, password: str) -> None:
    """No error of the server's by length, nothing, NUL or half a letter."""
    for name in ("ada", "\ud800", "", "a" * 600, "\x00", "ada\x00"):
        sent = f'{{"name": {quoted(name)}, "password": {quoted(password)}}}'
        answer = service.browser().post(
            "/api/sign-in", content=sent, headers={"Content-Type": "application/json"}
        )
        assert answer.status_code in (400, 401, 429), (name, answer.text)


def quoted(text: str) -> str:
    """Give a text as JSON in ASCII, half letters too."""
    return '"' + "".join(f"\\u{ord(each):04x}" for each in text) + '"'
