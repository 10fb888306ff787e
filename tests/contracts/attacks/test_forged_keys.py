"""Sessions, tokens and links that nobody was given open nothing.

Source: OWASP ASVS 4.0.3, 3.2.1-3.2.4 (session tokens), 3.3.1-3.3.4 (their end), 3.5.2-3.5.3
(tokens); OWASP Web Security Testing Guide 4.2, 4.6 (session fixation, exposed and forged tokens).
"""

from __future__ import annotations

import base64
import hashlib
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from slackwater.desk.accounts import Accounts
from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency
from tests.contracts.roles_served import RolesServed
from tests.contracts.small_register import small_working
from tests.contracts.with_accounts import Browser

LEADS = "/api/offers"


def part(value: Any) -> str:
    return base64.urlsafe_b64encode(json.dumps(value).encode()).decode().rstrip("=")


def session_of(browser: Browser) -> str:
    return str(browser.cookies.get("slackwater"))


def with_cookie(served: Agency, cookie: str) -> Browser:
    return served.service.browser(cookie=cookie)


def test_a_cookie_that_was_made_up_is_nobody(served: Agency) -> None:
    """Random, empty, another's digest, a name, one letter off, an unsigned JSON web token."""
    real = session_of(served.service.caller(Role.LEAD))
    digest = hashlib.sha256(real.encode()).hexdigest()
    unsigned = f"{part({'alg': 'none'})}.{part({'sub': 'lead person', 'roles': ['lead']})}."
    off = ("A" if real[0] != "A" else "B") + real[1:]
    for made_up in ("A" * 43, digest, "lead person", "lead", off, real[:-1], unsigned, "%00",
                    f"{real}A", real.swapcase(), "' OR '1'='1", "*", "%"):  # fmt: skip
        browser = with_cookie(served, f"slackwater={made_up}")
        assert browser.me()["name"] == "", made_up
        assert browser.get(LEADS).status_code == 403


def test_a_token_that_was_made_up_is_refused(served: Agency) -> None:
    """As bearer and as a password, the digest that is stored and a web token without signature."""
    real = served.service.accounts.make_token("lead person", "x", "all", 1)["secret"]
    digest = hashlib.sha256(real.encode()).hexdigest()
    unsigned = f"{part({'alg': 'none'})}.{part({'sub': 'lead person'})}."
    for made_up in (
        "A" * 43,
        digest,
        unsigned,
        real[:-1],
        real + "A",
        real.swapcase(),
        "%",
        "null",
    ):
        basic = base64.b64encode(f"lead person:{made_up}".encode()).decode()
        for said in (f"Bearer {made_up}", f"Basic {basic}"):
            answer = served.service.browser(authorization=said).get(LEADS)
            assert (answer.status_code, answer.json()["error"]["code"]) == (401, "sign_in_needed")


def test_one_kind_of_secret_is_no_other_kind(served: Agency) -> None:
    """A session is no token, a token no session, a link neither, the page's token none of them."""
    lead = served.service.caller(Role.LEAD)
    session, csrf = session_of(lead), lead.headers["X-Slackwater-Csrf"]
    token = served.service.accounts.make_token("lead person", "x", "all", 1)["secret"]
    link = served.ids["secret"][0]
    for other in (session, link, csrf):
        assert served.service.browser(authorization=f"Bearer {other}").get(LEADS).status_code == 401
    for other in (token, link, csrf):
        assert with_cookie(served, f"slackwater={other}").get(LEADS).status_code == 403
    for other in (session, token, csrf):
        assert served.service.browser().get(f"/shared/{other}").status_code == 404


def test_a_secret_anywhere_else_than_in_its_place_is_not_looked_at(served: Agency) -> None:
    """In the address, in a header of another name, in a cookie of another name: it opens nothing,
    so nobody gets used to writing it where it is logged."""
    token = served.service.accounts.make_token("lead person", "x", "all", 1)["secret"]
    session = session_of(served.service.caller(Role.LEAD))
    for query in (f"access_token={token}", f"token={token}", f"slackwater={session}"):
        assert served.service.browser().get(f"{LEADS}?{query}").status_code == 403
    for name in ("X-Api-Key", "X-Authorization", "Proxy-Authorization"):
        headers = {name: f"Bearer {token}"}
        assert served.service.browser().get(LEADS, headers=headers).status_code == 403
    for name in ("Slackwater", "slackwater ", "__Host-slackwater", "session"):
        told = with_cookie(served, f"{name}x={session}").get(LEADS)
        assert told.status_code == 403


def test_a_session_planted_before_signing_in_is_never_taken_over(tmp_path: Path) -> None:
    """Fixation: whatever cookie a browser is made to hold, signing in gives a new one; the planted
    one stays nobody's, also where two cookies are sent."""
    working = small_working(tmp_path / "small.sqlite")
    service = RolesServed(working)
    for planted in ("A" * 43, service.accounts.begin("viewer person", "header")):
        victim = service.browser()
        victim.cookies.set("slackwater", planted)
        victim.headers["X-Slackwater-Csrf"] = victim.me()["csrf"]  # as a page loaded with it would
        assert victim.sign_in("ada").status_code == 200
        held = [each.value for each in victim.cookies.jar if each.name == "slackwater"]
        assert held[-1] != planted
        attacker = service.browser(cookie=f"slackwater={planted}")
        assert attacker.me()["name"] in ("", "viewer person")
        assert attacker.get(LEADS).status_code in (401, 403)
    working.close()


def test_sessions_and_tokens_end_when_they_say(tmp_path: Path) -> None:
    """12 hours unused or 7 days in all; a token on its last day; never a moment after."""
    working = small_working(tmp_path / "small.sqlite")
    now = [datetime(2026, 3, 1, tzinfo=UTC)]
    accounts = Accounts(working.register, lambda: now[0])
    accounts.add_person("ada", ["lead"], None, "test")
    session, token = accounts.begin("ada", "header"), accounts.make_token("ada", "t", "all", 1)
    for minutes in range(0, 7 * 24 * 60, 11 * 60):
        now[0] = datetime(2026, 3, 1, tzinfo=UTC) + timedelta(minutes=minutes)
        assert accounts.of_session(session)
    now[0] = datetime(2026, 3, 8, tzinfo=UTC)
    assert accounts.of_session(session) is None
    assert accounts.of_token(token["secret"]) is None
    unused = accounts.begin("ada", "header")
    now[0] += timedelta(hours=12)
    assert accounts.of_session(unused) is None
    now[0] -= timedelta(days=30)  # a clock that is set back revives nothing that was ended
    accounts.sign_out(unused)
    assert accounts.of_session(unused) is None
    working.close()


@pytest.mark.parametrize("scope", ["public", "read"])
def test_a_narrow_token_grows_by_nothing_that_is_sent_with_it(served: Agency, scope: str) -> None:
    """Neither by `as=lead`, nor by a page's token, nor by a method hidden in a GET, nor beside
    another role's session: what a token is used for, it is used for alone."""
    program = served.service.token(Role.LEAD, scope)
    change = {"X-Slackwater-Csrf": served.service.caller(Role.LEAD).headers["X-Slackwater-Csrf"]}
    assert program.post("/api/edits", json={}, headers=change).status_code == 403
    hidden = {
        "X-HTTP-Method-Override": "POST",
        "X-Method-Override": "DELETE",
        "X-HTTP-Method": "PUT",
    }
    before = served.service.caller(Role.LEAD).get("/api/cases").json()
    for case in served.ids["case_id"]:
        program.get(f"/api/cases/{case}?_method=DELETE&method=DELETE", headers=hidden)
    assert served.service.caller(Role.LEAD).get("/api/cases").json() == before
    if scope == "public":
        told = program.get("/api/offtakes?as=lead").json()
        assert told == served.service.caller(Role.PUBLIC).get("/api/offtakes").json()


def test_a_token_outlives_neither_its_owner_s_roles_nor_the_owner(tmp_path: Path) -> None:
    """Roles that are taken away are gone from tokens and sessions at once, and with the account
    all."""
    working = small_working(tmp_path / "small.sqlite")
    service = RolesServed(working)
    program, browser = service.token(Role.SCIENTIST, "all"), service.caller(Role.SCIENTIST)
    assert {each.get("/api/edits").status_code for each in (program, browser)} == {200}
    service.accounts.change_person("scientist person", roles=["viewer"])
    assert {each.get("/api/edits").status_code for each in (program, browser)} == {401, 403} - {401}
    service.accounts.remove_person("scientist person")
    assert program.get("/api/findings").status_code == 401
    assert browser.get("/api/findings").status_code == 401
    service.accounts.add_person("scientist person", ["lead"], None, "test")
    assert program.get(LEADS).status_code == 401  # the same name again is somebody else
    assert browser.get(LEADS).status_code == 401
    working.close()
