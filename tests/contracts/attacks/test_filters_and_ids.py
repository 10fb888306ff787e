"""Names, values and ids are never code: not for the database, not for a pattern, not for a path.

Source: OWASP ASVS 4.0.3, 5.1.3-5.1.4 (validation), 5.3.4-5.3.5 (injection), 12.3.1-12.3.3 (paths);
CWE-89, CWE-22, CWE-158, CWE-1333.
"""

from __future__ import annotations

import time
from typing import Any
from urllib.parse import quote

import pytest

from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency
from tests.contracts.private.searching import not_for, told_by
from tests.contracts.small_register import new_id

SQL = ("' OR '1'='1", "\" OR \"\"=\"", "1; DROP TABLE people; --",
       "A' UNION SELECT secret FROM tokens --",
       "%' OR 1=1 /*", "\\' OR 1=1 --", "A'||(SELECT landholder FROM offtakes LIMIT 1)||'",
       "' AND (SELECT 1 FROM pg_sleep(5)) --", "${7*7}{{7*7}}", "A%", "_", "*")  # fmt: skip
TRICKS = ("..", "%2e%2e", "%2e%2e%2f", "..%2f..%2f..%2fetc%2fpasswd", "..%5c..%5cwindows", "%00",
          "A%00.html", "%2fetc%2fpasswd", "....//", "%252e%252e%252f", "%c0%ae%c0%ae%2f",
          "file:%2f%2f%2fetc%2fpasswd", "A/../../cases", "~root", "%0d%0aSet-Cookie:%20a=b",
          "a" * 8000, "%ff%fe", "\u202e", "people.md", "con", "aux.html")  # fmt: skip
IN_PATH = ("/api/offtakes/{}/why", "/api/offtakes/{}/routes", "/api/rows/offtakes/{}",
           "/api/rows/{}/A",
           "/api/cases/{}", "/api/cases/{}/links", "/api/work/{}", "/api/runs/{}/pack",
           "/api/photos/{}", "/print/fund/{}", "/print/board/{}", "/print/landholder/{}/A",
           "/files/{}.xlsx", "/files/{}.html", "/shared/{}", "/shared/{}/map.html", "/guide/{}",
           "/ogc/collections/{}", "/ogc/collections/{}/items", "/ogc/collections/offtakes/items/{}",
           "/assets/{}", "/{}", "/api/{}")  # fmt: skip
IN_QUERY = ("/api/edits?table={}", "/api/edits?table=offtakes&key={}", "/api/edits?before={}",
            "/api/offtakes?case={}", "/api/losses?year={}", "/api/losses?guild={}",
            "/api/notes?run={}",
            "/api/compare?one={}&other={}", "/api/edition?since={}", "/api/offtakes?as={}",
            "/ogc/collections/offtakes/items?kind={}", "/ogc/collections/offtakes/items?bbox={}",
            "/ogc/collections/offtakes/items?limit={}",
            "/ogc/collections/offtakes/items?datetime={}",
            "/ogc/collections/offtakes/items?{}=1", "/api/sign-in/oidc/back?state={}&code={}",
            "/api/reaches?detail={}")  # fmt: skip
pytestmark = pytest.mark.usefixtures("unhurried")


def count_of(served: Agency) -> tuple[Any, ...]:
    """What no attack may change."""
    register = served.service.working.register
    return (register.standing(), len(register.history(limit=1000)), len(register.cases()),
            len(served.service.accounts.people()))  # fmt: skip


@pytest.mark.parametrize("where", IN_PATH + IN_QUERY)
def test_sql_in_a_name_a_value_or_an_id_finds_nothing_and_changes_nothing(
    served: Agency, where: str
) -> None:
    """Refused, not there, or an empty list; and no more than the public may know, nor later."""
    before = count_of(served)
    for role in (Role.PUBLIC, Role.LEAD):
        browser = served.service.caller(role)
        for sql in SQL:
            began = time.monotonic()
            answer = browser.get(where.replace("{}", quote(sql, safe="")))
            assert answer.status_code < 500, (where, sql, answer.text)
            if role is Role.PUBLIC:
                assert not_for(served, role, told_by(answer)) == [], (where, sql)
            if answer.status_code == 200 and where.startswith("/ogc") and "=1" not in where:
                assert answer.json()["numberMatched"] == 0, (where, sql)
            assert time.monotonic() - began < 4, (where, sql)
    assert count_of(served) == before


def test_a_filter_takes_names_from_a_closed_list(served: Agency) -> None:
    """A name that is no property, one with SQL, one with a quote: all refused in the same words;
    only a plain word is told again."""
    lead, items = served.service.caller(Role.LEAD), "/ogc/collections/offtakes/items"
    names = (*SQL, "kind)", "1=1;")
    told = {lead.get(items, params={sql: "1"}).text for sql in names if sql != "_"}
    assert len(told) == 1
    (words,) = told
    assert "a parameter is not known here" in words
    named = lead.get(items, params={"never_was": "1"}).text
    assert named == words.replace("a parameter", "the parameter never_was")


@pytest.mark.parametrize("where", IN_PATH)
def test_a_path_leads_nowhere_else(served: Agency, where: str) -> None:
    """Dots, encoded and doubly encoded, slashes, NUL, line ends, very long ones: nothing of the
    disk, nothing of another address, no header of the attacker's, no error of the server's."""
    lead = served.service.caller(Role.LEAD)
    for trick in TRICKS:
        answer = lead.get(where.replace("{}", trick))
        assert answer.status_code < 500, (where, trick, answer.text)
        assert "root:" not in answer.text, (where, trick)
        assert "set-cookie" not in answer.headers, (where, trick)
        assert "\r" not in f"{answer.headers}", (where, trick)


def test_a_path_that_climbs_is_judged_by_where_it_arrives(served: Agency) -> None:
    """Nobody reaches an address of the lead's by way of one that is for anyone."""
    public = served.service.caller(Role.PUBLIC)
    for way in ("/assets/../api/offers", "/assets/%2e%2e/api/offers", "/assets/..%2fapi%2foffers",
                "/guide/..%2f..%2fapi%2foffers", "//api/offers", "/api//offers", "/./api/offers",
                "/api/offers/", "/API/offers", "/api/offers%20", "/api/offers;x=1",
                "/api/offers%00",
                "/api/offtakes/../offers/why", "/api/offtakes/A/why/../../../offers",
                "/shared/..%2f..%2fapi%2foffers", "/ogc/../api/offers", "/api/offers?as=lead",
                "/api/offers#", "/api/me/../offers", "/print/look.css/../fund/x"):  # fmt: skip
        answer = public.get(way, follow_redirects=True)
        assert answer.status_code in (400, 401, 403, 404), way
        assert "SECRET" not in answer.text, way


@pytest.mark.parametrize("name", ["table", "key", "code", "text"])
def test_sql_in_what_is_sent_is_data(served: Agency, name: str) -> None:
    """Table, key and code of edits, pasted rows, offers and places: refused or not there."""
    lead, before = served.service.caller(Role.LEAD), count_of(served)
    for sql in SQL:
        change = {"table": "offtakes", "key": "A", "column": "label", "old": None, "new": "x"}
        sent = {
            "/api/edits": {"id": new_id(), "why": "w", "changes": [change | {
                name if name in change else "column": sql}]},
            "/api/paste": {"table": sql if name == "table" else "offtakes", "text": sql},
            "/api/place": {"code": sql, "lon": 10.0, "lat": 50.0},
            "/api/offers": {"id": new_id(), "code": sql, "step": "note", "on": "2026-01-01"},
        }  # fmt: skip
        for path, body in sent.items():
            answer = lead.post(path, json=body)
            assert answer.status_code < 500, (path, sql, answer.text)
            assert answer.status_code >= 400 or path == "/api/paste", (path, sql)
    assert count_of(served) == before


@pytest.mark.parametrize("length", [10_000, 100_000])
def test_no_pattern_takes_long_over_what_is_sent(served: Agency, length: int) -> None:
    """CWE-1333: long runs of what patterns repeat, wherever one is matched; each within a
    second."""
    lead = served.service.caller(Role.LEAD)
    for run in ("0", "-", "1,", " ", "a@", "2026-", "0-", "T:", "\t"):
        text = run * (length // len(run))
        box = text[:8000]
        for ask in (
            lambda: lead.get("/ogc/collections/offtakes/items", params={"bbox": box}),  # noqa: B023
            lambda: lead.get("/ogc/collections/offtakes/items", params={"datetime": box}),  # noqa: B023
            lambda: lead.post("/api/paste", json={"table": "offtakes", "text": text}),  # noqa: B023
            lambda: lead.post("/api/sign-in", json={"name": box[:400], "password": box[:900]}),  # noqa: B023
        ):
            began = time.monotonic()
            assert ask().status_code < 500
            assert time.monotonic() - began < 3, run
