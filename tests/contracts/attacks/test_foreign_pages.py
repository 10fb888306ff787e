"""A foreign page changes nothing with the browser of somebody who is signed in.

Source: OWASP ASVS 4.0.3, 4.2.2 (cross-site requests), 13.1.5 (content types), 14.5.1-14.5.3
(methods, Origin); RFC 6454 (Origin).
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency
from tests.contracts.private.every_route import bodies, calls
from tests.contracts.small_register import new_id

FOREIGN = ("https://evil.example.invalid", "http://127.0.0.1.evil.example.invalid", "null", "",
           "http://127.0.0.1:9999", "file://", "http://127.0.0.1@evil.example.invalid",
           "http://localhost.", "https://evil.example.invalid:80/127.0.0.1")  # fmt: skip


pytestmark = pytest.mark.usefixtures("unhurried")


def edit_body(served: Agency) -> dict[str, Any]:
    lead = served.service.caller(Role.LEAD)
    key = served.ids["guild"][0]
    old = lead.get(f"/api/rows/guilds/{key}").json()["cells"]["species"]
    change = {"table": "guilds", "key": key, "column": "species", "old": old, "new": "eel"}
    return {"id": new_id(), "changes": [change], "why": "because"}


def revision(served: Agency) -> Any:
    return served.service.working.register.standing().revision


def test_no_route_changes_anything_without_the_page_s_token(served: Agency) -> None:
    """Every route that does not only read, called by the lead's and the admin's cookie alone."""
    sent, before = bodies(served), revision(served)
    for role in (Role.LEAD, Role.ADMIN):
        browser = served.service.caller(role)
        del browser.headers["X-Slackwater-Csrf"]
        for call in calls(served, 0, unsafe=True):
            if call.path.startswith("/api/meet/"):  # there no cookie means anything
                continue
            body = sent.get((call.method, call.path.replace(":path", "")), {})
            answer = browser.request(call.method, call.address, json=body)
            code = answer.json()["error"]["code"]
            assert (answer.status_code, code in ("csrf", "not_allowed")) == (403, True), call
    assert revision(served) == before


@pytest.mark.parametrize("origin", FOREIGN)
def test_a_foreign_origin_is_refused_even_with_the_right_token(served: Agency, origin: str) -> None:
    """A page elsewhere that learnt the token, a page of no origin, a name that only begins like
    ours."""
    lead, before = served.service.caller(Role.LEAD), revision(served)
    answer = lead.post("/api/edits", json=edit_body(served), headers={"Origin": origin})
    assert (answer.status_code, answer.json()["error"]["code"]) == (403, "foreign_origin")
    assert revision(served) == before


@pytest.mark.parametrize(
    "kind",
    ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "",
     "application/xml", "text/json", "application/jsonp"],
)  # fmt: skip
def test_what_a_form_can_send_is_no_json(served: Agency, kind: str) -> None:
    """The kinds of content that a page may send across sites without asking first are not read as
    JSON: the page's token is not the only bar."""
    lead, before = served.service.caller(Role.LEAD), revision(served)
    body = json.dumps(edit_body(served)).encode()
    answer = lead.post("/api/edits", content=body, headers={"Content-Type": kind})
    assert (answer.status_code, answer.json()["error"]["code"]) == (400, "bad_request")
    assert revision(served) == before


@pytest.mark.parametrize("name", ["X-HTTP-Method-Override", "X-HTTP-Method", "X-Method-Override"])
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_method_is_the_method_it_says(served: Agency, name: str, method: str) -> None:
    """Nothing hides a DELETE in what may be sent without the page's token."""
    browser = served.service.caller(Role.LEAD)
    del browser.headers["X-Slackwater-Csrf"]
    case = served.ids["case_id"][0]
    browser.request(method, f"/api/cases/{case}?_method=DELETE", headers={name: "DELETE"})
    assert served.service.caller(Role.LEAD).get(f"/api/cases/{case}").status_code == 200


@pytest.mark.parametrize("method", ["HEAD", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "BREW"])
def test_another_method_is_told_nothing(served: Agency, method: str) -> None:
    """What no route names is refused; TRACE sends no cookie back (RFC 9110, 9.3.8), OPTIONS grants
    no foreign origin anything."""
    lead = served.service.caller(Role.LEAD)
    origin = {"Origin": served.service.here}
    for path in (
        "/api/offtakes",
        "/api/offers",
        f"/shared/{served.ids['secret'][0]}",
        "/api/edits",
    ):
        answer = lead.request(method, path, headers=origin)
        assert answer.status_code in (404, 405), (method, path)
        assert "SECRET" not in answer.text
        assert str(lead.cookies.get("slackwater")) not in f"{answer.text}{answer.headers}"
        assert not [name for name in answer.headers if name.startswith("access-control")]


def test_nothing_is_shared_with_other_origins(served: Agency) -> None:
    """No route gives leave to a foreign page to read what it answers, nor to show it in a frame."""
    browser = served.service.caller(Role.LEAD)
    for call in calls(served, 0):
        answer = browser.get(call.address)
        assert not [name for name in answer.headers if name.startswith("access-control")], call
        policy = answer.headers["content-security-policy"]
        assert "frame-ancestors 'none'" in policy, call
        assert "'unsafe-inline'" not in policy, call
        assert answer.headers["x-content-type-options"] == "nosniff", call
        assert answer.headers["cross-origin-resource-policy"] == "same-origin", call
