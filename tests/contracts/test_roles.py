"""Who may call what: every address names its least role, and every role is held to it.

Source: OWASP ASVS 4.0.3, 4.1.1 (access rules are enforced on the server), 4.1.3 (least privilege),
4.1.5 (access fails closed).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.routing import Route
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.api.least_role import HandedOut, least, roles_of
from slackwater.api.roles_table import HEADING, NothingShown, with_table
from slackwater.guide.pages import page
from slackwater.people.roles import Caller, Least, Role
from tests.contracts.roles_served import RolesServed, roles_served
from tests.contracts.small_register import HERE

ROUTES = list(roles_of(create_app(NothingShown())))
SOME_ID = "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20"
NAMES = {"table": "guilds", "key": "perch", "page": "people", "code": "A"}
REFUSED = {"sign_in_needed", "not_allowed"}
CALLERS = [None, *Role]
FOR_ANYONE = {
    "GET": "/ /api/guide /api/me /api/openapi.json /api/sign-in/oidc /api/sign-in/oidc/back "
    "/assets/... /favicon.ico /field /field/manifest.webmanifest /field/sw.js /guide "
    "/guide/look.css /guide/{page} /print/look.css "
    "/shared/{secret} /shared/{secret}/map.html",
    "POST": "/api/sign-in /api/sign-out",
}
FOR_A_MEETING = {
    "GET": "/meet /meet/look.css /meet/{meeting_code} /meet/{meeting_code}/lead "
    "/meet/{meeting_code}/minutes /meet/{meeting_code}/minutes.pdf /meet/{meeting_code}/wall "
    "/api/meet/{meeting_code} /api/meet/{meeting_code}/mine /api/meet/{meeting_code}/news "
    "/api/meet/{meeting_code}/now /api/meet/{meeting_code}/qr.svg",
    "POST": "/api/meet/{meeting_code}/join",
    "PUT": "/api/meet/{meeting_code}/mine /api/meet/{meeting_code}/mine/places",
}
"""For whoever has its code; a phone is known by its token."""
FOR_A_FACILITATOR = {
    "GET": "/api/meet/{meeting_code}/lead",
    "POST": "/api/meet/{meeting_code}/lead/close",
    "PUT": "/api/meet/{meeting_code}/lead/agreed /api/meet/{meeting_code}/lead/door "
    "/api/meet/{meeting_code}/lead/hold /api/meet/{meeting_code}/lead/step "
    "/api/meet/{meeting_code}/lead/trial",
}
HTML = "text/html; charset=utf-8"
FOR_THE_PUBLIC = {
    "GET": "/api/catchment /api/land /api/losses /api/offtakes /api/places /api/reaches /api/roads "
    "/api/offtakes/{offtake_id:path}/routes /api/offtakes/{offtake_id:path}/why /api/relief.png",
}
"""Besides ``/ogc``, which reads only."""


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RolesServed]:
    """The service as an agency has it: nothing for whoever has no account."""
    with roles_served(tmp_path_factory.mktemp("closed")) as service:
        yield service


@pytest.fixture(scope="module")
def open_map(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RolesServed]:
    """The service with a map for the public."""
    with roles_served(tmp_path_factory.mktemp("open"), public_map=True) as service:
        yield service


def address_of(path: str) -> str:
    """Fill a path's places with something of the right shape."""
    for part in path.split("/"):
        name = part.partition("{")[2].partition("}")[0].partition(":")[0]
        if name:
            value = NAMES.get(name, SOME_ID)
            path = path.replace(part, part.partition("{")[0] + value + part.partition("}")[2])
    return path.replace("...", "none.js")


def test_every_address_names_its_least_role() -> None:
    """Pages, files and whole folders too, whether the API's description has them or not."""
    assert len(ROUTES) > 60
    assert [(method, path) for method, path, role in ROUTES if role is None] == []


def test_what_is_open_without_an_account_is_written_down_here() -> None:
    """Whoever opens another address to the public has to add it to this list by hand."""
    for least_role, listed in ((Least.ANYONE, FOR_ANYONE), (Least.PUBLIC, FOR_THE_PUBLIC),
                               (Least.MEETING, FOR_A_MEETING),
                               (Least.FACILITATOR, FOR_A_FACILITATOR)):  # fmt: skip
        said = {(verb, path) for verb, paths in listed.items() for path in paths.split()}
        found = {
            (method, path)
            for method, path, role in ROUTES
            if role is least_role and not (method == "GET" and path.startswith("/ogc"))
        }
        assert found == said


def test_an_address_without_a_least_role_is_closed_to_all() -> None:
    """Forgetting to name one opens nothing, not even to the lead of a service without accounts."""
    app = create_app(NothingShown())
    app.add_api_route("/api/forgotten", lambda: "told")
    app.mount("/folder", Route("/", lambda _: None).app)
    app.add_api_route("/api/said", lambda: "told", **least(Least.LEAD))
    client = TestClient(app, base_url=HERE)
    assert client.get("/api/said").text == '"told"'
    for path in ("/api/forgotten", "/folder/anything"):
        answer = client.get(path)
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "not_allowed")


def test_the_guide_s_table_is_the_one_of_the_code() -> None:
    """Else `scripts/make_roles` writes it again."""
    written = page("people")
    assert with_table(written) == written
    assert written.partition(HEADING)[2].count("\n| `") >= 60


@pytest.mark.parametrize("role", CALLERS, ids=lambda role: role.value if role else "nobody")
def test_every_address_answers_whom_the_table_names_and_nobody_else(
    role: Role | None, closed: RolesServed, open_map: RolesServed
) -> None:
    """Each method of each address, called as each role; who is refused learns nothing else."""
    service = open_map if role is Role.PUBLIC else closed
    held = Caller("", frozenset({role} if role else ()))
    for method, path, asked in ROUTES:
        assert asked is not None
        answer = service.caller(role).request(method, address_of(path))
        if role is None and path.startswith(("/print/", "/files/")) and not held.may(asked):
            assert (answer.status_code, answer.headers["content-type"]) == (401, HTML), path
            assert ">Sign in</a>" in answer.text
            continue
        error = answer.json().get("error", {}) if answer.status_code in (401, 403) else {}
        if held.may(asked):
            assert error.get("code") not in REFUSED, (method, path, error)
            continue
        assert error["code"] == ("not_allowed" if role else "sign_in_needed"), (method, path)
        assert answer.status_code == (403 if role else 401), (method, path)
        assert set(error) == {"code", "message"}


def test_what_is_handed_out_as_a_folder_has_a_least_role_for_all_of_it() -> None:
    """The page's own files are for anyone; they hold nothing of a catchment."""
    folders = [each for each in create_app(NothingShown()).routes if isinstance(each, HandedOut)]
    assert [(each.path, each.least) for each in folders] == [("/assets", Least.ANYONE)]


@pytest.mark.parametrize("method", ["get", "post", "delete", "put"])
def test_nobody_learns_from_an_address_that_is_not_there(closed: RolesServed, method: str) -> None:
    """An unknown address is told as such to everybody, and says nothing of those that are."""
    answer = closed.caller(None).request(method, "/api/none")
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "not_found")


def test_a_refusal_says_which_role_it_takes(closed: RolesServed) -> None:
    """Somebody signed in reads which role is asked for; nobody is told to sign in."""
    told = closed.caller(Role.VIEWER).get("/api/offers").json()["error"]["message"]
    assert told == "This asks for the role lead; here you have viewer."
    nobody = closed.caller(None).get("/api/offers")
    assert nobody.json()["error"]["message"] == "Sign in to see this."
    assert nobody.headers["www-authenticate"].startswith("Bearer")  # RFC 9110, 15.5.2


def test_roles_add_up(closed: RolesServed) -> None:
    """Somebody who is viewer and admin may do what either may, and no more."""
    closed.accounts.add_person("two roles", ["viewer", "admin"], None, "test")
    browser = closed.browser()
    browser.cookies.set("slackwater", closed.accounts.begin("two roles", "header"))
    assert browser.get("/api/people").status_code == 200
    assert browser.get("/api/findings").status_code == 200
    assert browser.get("/api/offers").status_code == 403
