"""Signing in and out, by password or by a proxy's header, and what a token may not do.

OWASP ASVS 4.0.3, chapters 2 and 3; the numbers stand at each test.
"""

from __future__ import annotations

from collections.abc import Iterator
from http.cookies import Morsel, SimpleCookie
from pathlib import Path
from typing import Any

import pytest

from slackwater.desk.working import Working
from tests.contracts.small_register import small_working
from tests.contracts.with_accounts import PASSWORDS, Service

OUTSIDE = "river.example.invalid"
HEADER = "X-Signed-In-As"
NOBODY = {"name": "", "roles": [], "viewer": "public", "csrf": "", "ended": False}


@pytest.fixture(scope="module")
def working(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Working]:
    made = small_working(tmp_path_factory.mktemp("people") / "small.sqlite")
    yield made
    made.close()


@pytest.fixture
def service(working: Working) -> Service:
    """A service of its own a test, so that no test's tries count for another."""
    return Service(working)


def cookie_of(answer: Any, name: str = "slackwater") -> Morsel[str]:
    """The cookie an answer sets, with its flags."""
    found = SimpleCookie()
    for line in answer.headers.get_list("set-cookie"):
        found.load(line)
    return found[name]


def test_nobody_is_nobody_and_is_told_the_ways_in(service: Service) -> None:
    """Who has no account has no role, and learns how to sign in and nothing of the catchment."""
    browser = service.browser()
    told = browser.me()
    assert told == {**NOBODY, "accounts": True, "ways": ["password"], "public_map": False}
    refused = browser.get("/api/catchment")
    assert refused.status_code == 401
    assert "small" not in refused.text.lower()


def test_signing_in_says_who_it_is_and_what_they_see(service: Service) -> None:
    """Roles and viewer of the account; a token for changes that me tells again."""
    browser = service.browser()
    told = browser.sign_in("vera").json()
    assert (told["name"], told["roles"], told["viewer"]) == ("vera", ["viewer"], "agency")
    assert told == browser.me()
    assert browser.get("/api/catchment").status_code == 200


def test_without_accounts_whoever_calls_is_the_lead(client: Any) -> None:
    """Nothing to sign in to: 404 for each way in, and me says that there are no accounts."""
    told = client.get("/api/me").json()
    assert (told["accounts"], told["roles"], told["viewer"]) == (False, ["lead"], "lead")
    for address in ("/api/tokens", "/api/sign-in/oidc", "/api/sign-in/oidc/back"):
        assert client.get(address).status_code == 404, address
    assert client.get("/api/people").status_code == 403  # the lead is no admin
    body = {"name": "ada", "password": PASSWORDS["ada"]}
    assert client.post("/api/sign-in", json=body).status_code == 404


def test_the_cookie_is_closed_to_scripts_and_other_sites(service: Service) -> None:
    """ASVS 3.4.2, 3.4.3, 3.4.5: HttpOnly, SameSite, Path; 3.2.2: 64 bits and more."""
    cookie = cookie_of(service.browser().sign_in("ada"))
    assert cookie["httponly"] is True
    assert cookie["samesite"].lower() == "lax"
    assert cookie["path"] == "/"
    assert cookie["domain"] == ""
    assert not cookie["secure"]  # on this machine alone there is no https
    assert len(cookie.value) >= 43  # 32 bytes


def test_behind_a_proxy_the_cookie_travels_by_https_alone(working: Working) -> None:
    """ASVS 3.4.1: Secure; when it is taken away too, else the browser would keep it."""
    browser = Service(working, outside=OUTSIDE).browser()
    assert cookie_of(browser.sign_in("ada"))["secure"] is True
    gone = cookie_of(browser.post("/api/sign-out"))
    assert (gone["secure"], gone["max-age"], gone.value) == (True, "0", "")


def test_a_session_that_was_there_before_is_not_taken_over(service: Service) -> None:
    """ASVS 3.2.1: a secret that somebody else put into the browser never becomes a session."""
    browser = service.browser()
    planted = "A" * 43
    browser.cookies.set("slackwater", planted, domain="127.0.0.1", path="/")
    given = cookie_of(browser.sign_in("ada")).value
    assert given != planted
    other = service.browser()
    other.cookies.set("slackwater", planted)
    assert other.me()["name"] == ""


def test_signing_in_again_gives_a_new_session_and_ends_the_old(service: Service) -> None:
    """ASVS 3.2.1: whoever held the old secret, an attacker too, holds nothing now."""
    browser = service.browser("ada")
    before = browser.cookies["slackwater"]
    assert browser.sign_in("grace").status_code == 200
    assert browser.cookies["slackwater"] != before
    other = service.browser()
    other.cookies.set("slackwater", before)
    assert other.me()["name"] == ""


def test_signing_out_ends_the_session_on_the_server(service: Service) -> None:
    """ASVS 3.3.1: the cookie, kept by whoever copied it, opens nothing."""
    browser = service.browser("ada")
    copied = browser.cookies["slackwater"]
    assert browser.post("/api/sign-out").status_code == 204
    assert "slackwater" not in browser.cookies
    browser.cookies.set("slackwater", copied)
    assert browser.me()["name"] == ""
    assert browser.get("/api/catchment").status_code == 401


@pytest.mark.parametrize("public_map", [False, True])
def test_a_session_that_is_over_is_told_until_it_is_let_go(
    working: Working, public_map: bool
) -> None:
    """Also where the map is open, and whoever asks is answered as the public from then on: not
    while it holds, not for whoever never came in, and no more once the cookie is given back."""
    service = Service(working, public_map=public_map)
    browser = service.browser("vera")
    assert browser.me()["ended"] is False
    service.accounts.sign_out(browser.cookies["slackwater"])
    told = browser.me()
    assert (told["name"], told["viewer"], told["ended"]) == ("", "public", True)
    assert browser.get("/api/catchment").status_code == (200 if public_map else 401)
    assert browser.post("/api/sign-out").status_code == 204
    assert browser.me()["ended"] is False
    assert service.browser().me()["ended"] is False


def test_a_wrong_name_and_a_wrong_password_are_told_alike(service: Service) -> None:
    """ASVS 2.2.1 and 3.7: same status, same words, no cookie, and no password in the answer."""
    told = []
    for name, password in (("ada", "not the words of ada"), ("nobody", "not the words of ada")):
        answer = service.browser().sign_in(name, password)
        assert answer.status_code == 401
        assert "set-cookie" not in answer.headers
        assert password not in answer.text
        told.append(answer.json())
    assert told[0] == told[1]
    assert told[0]["error"]["code"] == "sign_in_refused"


def test_a_sixth_try_is_locked_out(service: Service) -> None:
    """ASVS 2.2.1: after five wrong passwords the right one does not count either; 429."""
    for _ in range(5):
        assert service.browser().sign_in("grace", "wrong words again").status_code == 401
    answer = service.browser().sign_in("grace")
    assert (answer.status_code, answer.json()["error"]["code"]) == (429, "locked_out")


def test_what_is_no_sign_in_is_refused_without_telling_it_again(service: Service) -> None:
    """A password where none belongs is not repeated: ASVS 7.1.1."""
    browser = service.browser()
    for body in ({"name": "ada"}, {"name": "ada", "password": "s3cret" * 400},
                 {"name": "ada", "password": "s3cretword", "more": "s3cretword"}):  # fmt: skip
        answer = browser.post("/api/sign-in", json=body)
        assert answer.status_code == 400
        assert "s3cret" not in answer.text


def test_a_new_password_ends_the_other_sessions_alone(service: Service) -> None:
    """ASVS 2.1.6 (the old one is asked for), 3.3.3 (the others end)."""
    here, there = service.browser("vera"), service.browser("vera")
    body = {"old": "not the words of vera", "new": "other words of vera here"}
    assert here.post("/api/password", json=body).status_code == 401
    body["old"] = PASSWORDS["vera"]
    assert here.post("/api/password", json=body).status_code == 204
    assert here.me()["name"] == "vera"
    assert there.me()["name"] == ""
    assert service.browser().sign_in("vera").status_code == 401
    assert service.browser().sign_in("vera", body["new"]).status_code == 200
    service.accounts.change_person("vera", password=PASSWORDS["vera"])


def test_a_change_without_the_page_s_token_is_refused(service: Service) -> None:
    """ASVS 4.2.2: a browser that sends its cookie by itself cannot be made to change anything."""
    browser = service.browser("ada")
    del browser.headers["X-Slackwater-Csrf"]
    answer = browser.post("/api/tokens", json={"title": "x", "scope": "all", "days": 1})
    assert (answer.status_code, answer.json()["error"]["code"]) == (403, "csrf")
    assert browser.post("/api/sign-out").status_code == 403
    assert browser.me()["name"] == "ada"


def test_a_header_is_nobody_s_name_unless_it_was_asked_for(service: Service) -> None:
    """What anyone may send is not believed."""
    for name in (HEADER, "Remote-User", "X-Forwarded-User", "X-Remote-User"):
        browser = service.browser(**{name: "ada"})
        assert browser.me()["name"] == "", name
        assert browser.get("/api/catchment").status_code == 401


def test_a_header_that_was_asked_for_names_who_was_added(working: Working) -> None:
    """The proxy's word is enough for whoever has an account, and a change needs a token still."""
    service = Service(working, outside=OUTSIDE, sign_in_header=HEADER)
    browser = service.browser(**{HEADER: "ada"})
    told = browser.me()
    assert (told["name"], told["ways"]) == ("ada", ["password", "header"])
    body = {"title": "by header", "scope": "read", "days": 1}
    assert browser.post("/api/tokens", json=body).json()["error"]["code"] == "csrf"
    made = browser.post("/api/tokens", json=body, headers={"X-Slackwater-Csrf": told["csrf"]})
    assert made.status_code == 200
    service.accounts.drop_token("ada", made.json()["id"])


def test_a_header_with_an_unknown_name_lets_nobody_in(working: Working) -> None:
    """Refused in plain words; and two headers at once are nobody."""
    service = Service(working, outside=OUTSIDE, sign_in_header=HEADER)
    stranger = service.browser(**{HEADER: "mallory"})
    assert stranger.me()["name"] == ""
    answer = stranger.get("/api/catchment")
    assert answer.status_code == 401
    assert "added" in answer.json()["error"]["message"]
    twice = service.browser()
    answer = twice.get("/api/me", headers=[(HEADER, "ada"), (HEADER, "grace")])
    assert answer.json()["name"] == ""


def test_a_token_opens_data_and_no_account(service: Service) -> None:
    """A token, which others may hold, makes no token, ends none, and changes no password."""
    ada = service.browser("ada")
    body = {"title": "desktop GIS", "scope": "all", "days": 30}
    made = ada.post("/api/tokens", json=body).json()
    assert made["secret"] not in ada.get("/api/tokens").text
    program = service.browser(Authorization=f"Bearer {made['secret']}")
    assert program.get("/api/catchment").status_code == 200
    passwords = {"old": PASSWORDS["ada"], "new": "other words of ada here"}
    for answer in (
        program.get("/api/tokens"),
        program.post("/api/tokens", json=body),
        program.delete(f"/api/tokens/{made['id']}"),
        program.post("/api/password", json=passwords),
    ):
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "not_allowed")
    assert ada.delete(f"/api/tokens/{made['id']}").status_code == 204
    assert program.get("/api/catchment").status_code == 401


def test_nobody_ends_another_s_token(service: Service) -> None:
    """Told as one that is not there."""
    body = {"title": "desktop GIS", "scope": "read", "days": 30}
    ada, grace = service.browser("ada"), service.browser("vera")
    made = ada.post("/api/tokens", json=body).json()
    assert grace.delete(f"/api/tokens/{made['id']}").status_code == 404
    assert [each["id"] for each in ada.get("/api/tokens").json()["tokens"]] == [made["id"]]
    ada.delete(f"/api/tokens/{made['id']}")


def test_an_admin_adds_changes_and_takes_away_people(service: Service) -> None:
    """Each answer is the person as they stand; a lead may do none of it."""
    root = service.browser("root")
    body = {"name": "Maé O'Brien", "roles": ["viewer"], "password": "a heron and another heron"}
    made = root.post("/api/people", json=body)
    assert made.status_code == 200, made.text
    assert (made.json()["name"], made.json()["locked"]) == (body["name"], False)
    address = "/api/people/Ma%C3%A9%20O'Brien"
    browser = service.browser()
    assert browser.sign_in(body["name"], body["password"]).status_code == 200
    changed = root.post(address, json={"roles": ["field", "viewer"]}).json()
    assert changed["roles"] == ["field", "viewer"]
    assert browser.me()["roles"] == ["field", "viewer"]
    assert root.post(address, json={"locked": True}).json()["locked"] is True
    assert browser.me()["name"] == ""
    assert service.browser("ada").post(address, json={"locked": False}).status_code == 403
    assert root.delete(address).status_code == 204
    names = [each["name"] for each in root.get("/api/people").json()["people"]]
    assert body["name"] not in names
    assert "ada" in names
    assert all(word not in root.get("/api/people").text for word in ("argon2", "hash"))


def test_a_token_of_an_admin_adds_nobody(service: Service) -> None:
    """Else a token could outlive its time by a person of its own making."""
    root = service.browser("root")
    made = root.post("/api/tokens", json={"title": "x", "scope": "all", "days": 1}).json()
    program = service.browser(Authorization=f"Bearer {made['secret']}")
    assert program.get("/api/people").status_code == 200
    body = {"name": "eve", "roles": ["admin"], "password": "a heron and another heron"}
    assert program.post("/api/people", json=body).status_code == 403
    assert program.post("/api/people/ada", json={"locked": True}).status_code == 403
    assert program.delete("/api/people/ada").status_code == 403
    root.delete(f"/api/tokens/{made['id']}")


def test_accounts_are_kept_in_a_database(tmp_path: Path) -> None:
    """A second service over the same database knows the same people and sessions."""
    working = small_working(tmp_path / "small.sqlite")
    browser = Service(working).browser("ada")
    other = Service(working).browser()
    other.cookies.set("slackwater", browser.cookies["slackwater"])
    assert other.me()["name"] == "ada"
    working.close()
