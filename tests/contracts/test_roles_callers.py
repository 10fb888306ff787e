"""How a caller is known, and what keeps one caller's answers from another.

Sources: OWASP ASVS 4.0.3, 3.5.3 and 4.2.2 (tokens, cross-site requests), 8.1.1 (caches); RFC 6750
(bearer tokens), RFC 7617 (basic authentication), RFC 9110, 15.5.2 (401).
"""

from __future__ import annotations

import base64
from collections.abc import Iterator

import pytest

from slackwater.people.roles import Role
from tests.contracts.roles_served import RolesServed, roles_served
from tests.contracts.small_register import new_id

KEPT = ("catchment", "offtakes", "losses", "reaches", "places", "land", "roads", "findings",
        "offtakes/A/why", "offtakes/A/routes")  # fmt: skip


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RolesServed]:
    with roles_served(tmp_path_factory.mktemp("callers"), public_map=True) as served:
        yield served


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RolesServed]:
    with roles_served(tmp_path_factory.mktemp("closed"), sign_in_header="X-Person") as served:
        yield served


def test_each_role_sees_the_columns_of_its_viewer(service: RolesServed) -> None:
    """The same address, three answers: what the public sees is within what the agency sees, and
    that within what the lead sees."""
    shown = {role: set(service.caller(role).get("/api/offtakes").json()) for role in Role}
    assert shown[Role.PUBLIC] == shown[Role.ADMIN] < shown[Role.VIEWER] < shown[Role.LEAD]
    assert shown[Role.VIEWER] == shown[Role.FIELD] == shown[Role.SCIENTIST]
    assert "holder" in shown[Role.LEAD] - shown[Role.VIEWER]


@pytest.mark.parametrize("what", KEPT)
@pytest.mark.parametrize("query", ["", "?as=public", "?as=agency", "?as=lead", "?as=lead&as=lead"])
def test_nothing_kept_for_one_caller_reaches_another(
    service: RolesServed, what: str, query: str
) -> None:
    """Asked by the lead first, then by others: each gets what they would have got alone, and no tag
    of the lead's answer spares the public theirs."""
    address = f"/api/{what}{query}"
    lead = service.caller(Role.LEAD).get(address)
    again = {}
    for role in (Role.LEAD, Role.VIEWER, Role.PUBLIC):
        browser = service.caller(role)
        told = browser.get(address)
        fresh = browser.get(address, headers={"accept-encoding": f"identity;q=0.{len(role)}"})
        assert (told.status_code, told.text) == (fresh.status_code, fresh.text)
        again[role] = told
    if lead.status_code == 200:
        tag = {"If-None-Match": lead.headers["etag"]}
        assert service.caller(Role.LEAD).get(address, headers=tag).status_code == 304
        assert service.caller(Role.VIEWER).get(address, headers=tag).status_code == 200
        public = service.caller(Role.PUBLIC).get(address, headers=tag)
        assert public.status_code == again[Role.PUBLIC].status_code != 304
        assert public.text == again[Role.PUBLIC].text


@pytest.mark.parametrize("role", [Role.PUBLIC, Role.VIEWER, Role.SCIENTIST, Role.ADMIN])
@pytest.mark.parametrize("query", ["?as=lead", "?as=lead&as=lead", "?as=public&as=lead"])
def test_as_never_shows_more_than_one_may_see(service: RolesServed, role: Role, query: str) -> None:
    """It is the lower of both, however it is asked."""
    browser = service.caller(role)
    assert browser.get(f"/api/offtakes{query}").json() == browser.get("/api/offtakes").json()


def test_a_lead_who_looks_as_the_public_sees_what_the_public_sees(service: RolesServed) -> None:
    """Byte for byte."""
    for what in ("offtakes", "losses", "offtakes/A/why"):
        lead = service.caller(Role.LEAD).get(f"/api/{what}?as=public")
        assert lead.content == service.caller(Role.PUBLIC).get(f"/api/{what}").content


@pytest.mark.parametrize("method", ["POST", "DELETE"])
@pytest.mark.parametrize("said", [None, "", "0" * 64, "é"])
def test_a_change_by_session_carries_the_page_s_token(
    service: RolesServed, method: str, said: str | None
) -> None:
    """ASVS 4.2.2: without it, or with another's, nothing is even looked at."""
    browser = service.caller(Role.LEAD)
    del browser.headers["X-Slackwater-Csrf"]
    headers = {} if said is None else {"X-Slackwater-Csrf": said.encode("latin-1")}
    address = f"/api/cases/{new_id()}" + ("/share" if method == "POST" else "")
    answer = browser.request(method, address, headers=headers)
    assert (answer.status_code, answer.json()["error"]["code"]) == (403, "csrf")


def test_one_session_s_token_does_not_serve_another(service: RolesServed) -> None:
    """Not even another of the same person."""
    one, other = service.caller(Role.LEAD), service.caller(Role.LEAD)
    assert one.me()["csrf"] == one.headers["X-Slackwater-Csrf"] != other.me()["csrf"]
    other.headers["X-Slackwater-Csrf"] = one.me()["csrf"]
    assert other.post("/api/paste", json={}).json()["error"]["code"] == "csrf"


def test_a_token_needs_no_page(service: RolesServed) -> None:
    """No browser sends it by itself, so it may change things without the page's token."""
    answer = service.token(Role.LEAD, "all").post("/api/place", json={})
    assert answer.json()["error"]["code"] == "bad_request"


@pytest.mark.parametrize("kind", ["Bearer", "bearer", "Basic", "basic"])
def test_a_token_comes_as_bearer_or_as_a_password(service: RolesServed, kind: str) -> None:
    """RFC 6750, 2.1; RFC 7617, 2: any user name, the token behind the first colon; the word's case
    does not matter (RFC 9110, 11.1)."""
    secret = service.accounts.make_token("viewer person", "gis", "read", 1)["secret"]
    if kind.lower() == "basic":
        secret = base64.b64encode(f"any name:{secret}".encode()).decode()
    program = service.browser(authorization=f"{kind} {secret}")
    assert program.me()["roles"] == ["viewer"]
    assert program.get("/api/findings").status_code == 200


@pytest.mark.parametrize("scope", ["read", "public"])
def test_a_token_that_reads_changes_nothing(service: RolesServed, scope: str) -> None:
    """Whatever its owner may do; what is public is all the narrower one reads."""
    program = service.token(Role.LEAD, scope)
    for method, address in (("POST", "/api/edits"), ("DELETE", f"/api/cases/{new_id()}")):
        answer = program.request(method, address, json={})
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "not_allowed")
    assert program.get("/api/offers").status_code == (200 if scope == "read" else 403)
    public = service.caller(Role.PUBLIC).get("/api/offtakes").text
    assert (program.get("/api/offtakes").text == public) == (scope == "public")


@pytest.mark.parametrize(
    "said", ["Bearer none", "Bearer", "Basic !!!", "Basic YTpi", "Basic /w==", "Digest a", ""]
)
def test_a_token_that_does_not_hold_is_refused(service: RolesServed, said: str) -> None:
    """Even where the public would be answered: a map that was whole must not quietly show less."""
    answer = service.browser(authorization=said).get("/api/offtakes")
    assert (answer.status_code, answer.json()["error"]["code"]) == (401, "sign_in_needed")
    assert answer.headers["www-authenticate"] == 'Bearer realm="Slackwater"'
    assert "token" in answer.json()["error"]["message"]


def test_a_token_s_password_beside_a_session_is_no_bar(service: RolesServed) -> None:
    """A proxy that asks for a password itself passes it on; whoever is signed in stays so."""
    browser = service.caller(Role.VIEWER)
    browser.headers["authorization"] = "Basic " + base64.b64encode(b"proxy:open").decode()
    assert browser.me()["name"] == "viewer person"
    assert browser.post("/api/sign-out").status_code == 204


@pytest.mark.parametrize("name", ["José", "Åsa Lindqvist"])
def test_a_proxy_may_name_somebody_beyond_ascii(closed: RolesServed, name: str) -> None:
    """Headers travel as bytes; proxies write them in UTF-8."""
    closed.accounts.add_person(name, ["viewer"], None, "test")
    answer = closed.browser().get("/api/me", headers={"X-Person": name.encode()})
    assert answer.json()["name"] == name


def test_what_the_proxy_says_goes_before_the_cookie(closed: RolesServed) -> None:
    """Whoever signed in at the proxy is who calls, though an earlier person's session is still in
    the browser."""
    browser = closed.caller(Role.LEAD)
    assert browser.get("/api/me", headers={"X-Person": "viewer person"}).json()["name"] == (
        "viewer person"
    )


def test_a_session_that_ended_is_nobody(closed: RolesServed) -> None:
    """The cookie alone opens nothing once the account is locked."""
    closed.accounts.add_person("soon gone", ["lead"], None, "test")
    browser = closed.browser()
    browser.cookies.set("slackwater", closed.accounts.begin("soon gone", "header"))
    assert browser.get("/api/offers").status_code == 200
    closed.accounts.change_person("soon gone", locked=True)
    assert browser.get("/api/offers").status_code == 401
    assert browser.me()["roles"] == []
