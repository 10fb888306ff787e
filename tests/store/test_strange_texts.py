"""Texts that a database cannot hold are refused or not there, on either store: never its error.

Source: OWASP ASVS 4.0.3, 5.1.3, 5.3.5; CWE-158 (NUL). PostgreSQL's text holds no NUL, its driver no
half letters; SQLite takes both.
"""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import quote

import pytest
from sqlalchemy import Engine
from sqlalchemy.exc import OperationalError

from slackwater.api.calling import Known
from slackwater.desk.importing import given_of
from slackwater.desk.opening import opened
from slackwater.desk.working import open_working
from slackwater.people.roles import Role
from slackwater.store import open_register
from tests.catchment.small import small
from tests.contracts.private.every_route import query_parameters
from tests.contracts.roles_served import RolesServed
from tests.store.conftest import NewUrl
from tests.store.said import fresh_id

STRANGE = ("a\x00b", "' --", "\x00", "\x1f", "\ufffe", "\U0010ffff", "a" * 3000)
FEW = 2
"""Of them, in the short run."""
IN_BODIES = ('"\\u0000"', '"\\ud800"', '"a\\u0000b"')
SENT = {
    "/api/sign-in": '{"name": @, "password": "guess a few words"}',
    "/api/tokens": '{"title": @, "scope": "read", "days": 1}',
    "/api/people": '{"name": @, "roles": ["viewer"]}',
    "/api/people/lead%20person": '{"password": @}',
    "/api/paste": '{"table": @, "text": "a"}',
    "/api/offers": '{"id": "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20", "code": @, "step": "note", '
    '"on": "2026-01-01"}',
    "/api/place": '{"code": @, "lon": 10, "lat": 50}',
    "/api/edits": '{"id": "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20", "why": "w", "changes": '
    '[{"table": "offtakes", "key": @, "column": "label", "new": "x"}]}',
}


@pytest.fixture
def service(new_url: NewUrl, monkeypatch: pytest.MonkeyPatch) -> Iterator[RolesServed]:
    monkeypatch.setattr(Known, "_too_many", lambda *_: None)
    url, raw = new_url(), small().raw()
    checked = opened(raw)
    register = open_register(url, create=True)
    version = checked.catchment.data_version
    register.replace(given_of(checked, raw), lambda _: version, edit_id=fresh_id(), why="first")
    register.close()
    working = open_working(url)
    yield RolesServed(working, public_map=True)
    working.close()


def test_no_strange_text_in_an_address_is_the_database_s_error(
    service: RolesServed, request: pytest.FixtureRequest
) -> None:
    """Each place of each path, and each value of each query, as lead and as admin."""
    strange = STRANGE if request.config.getoption("--long") else STRANGE[:FEW]
    for role in (Role.LEAD, Role.ADMIN):
        browser = service.caller(role)
        for route in service.app.routes:
            path = getattr(route, "path", "")
            for method in getattr(route, "methods", None) or ():
                for text in strange:
                    address = "/".join(
                        quote(text, safe="") if part.startswith("{") else part
                        for part in path.split("/")
                    )
                    names = query_parameters(route) if method == "GET" else ()
                    for query in ("", *(f"?{name}={quote(text)}" for name in names)):
                        answer = browser.request(method, f"{address}{query}")
                        assert answer.status_code < 500, (method, address, query, answer.text)
                if path == "/api/sign-out":
                    browser = service.caller(role)


@pytest.mark.parametrize("path", SENT)
def test_no_strange_text_that_is_sent_is_the_database_s_error(
    service: RolesServed, path: str
) -> None:
    """NUL and half letters in names, titles, codes and keys: refused as what was asked wrongly."""
    kind = {"Content-Type": "application/json"}
    for role in (Role.LEAD, Role.ADMIN):
        browser = service.caller(role)
        for text in IN_BODIES:
            answer = browser.post(path, content=SENT[path].replace("@", text), headers=kind)
            assert 400 <= answer.status_code < 500, (role, text, answer.text)


def test_where_the_database_is_is_told_to_nobody(
    service: RolesServed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """ASVS 7.4.1: neither its address, nor its user, nor the driver's words."""

    def broken(*_: object, **__: object) -> None:
        raise OperationalError("SELECT secret", {}, Exception("at 10.9.8.7 user river failed"))

    browser = service.caller(Role.LEAD)
    url = str(service.working.register.connected.url.database)
    monkeypatch.setattr(Engine, "connect", broken)
    for path in ("/api/me", "/api/offers", "/api/cases"):
        answer = browser.get(path)
        assert answer.status_code in (400, 429, 503), (path, answer.text)
        assert not [
            word for word in (url, "10.9.8.7", "river failed", "SELECT") if word in answer.text
        ]
