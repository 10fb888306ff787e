"""W17: a secret in any private or agency column, and in what people write, is in no byte of any
answer to those it is not for. Calls are made from the routes, so a new route is called too.

Source: OWASP ASVS 4.0.3, 4.1.3 and 4.2.1 (access to data), 7.1.1 and 7.1.2 (no secrets in the log),
8.1.1 and 8.2.1 (caches), 8.3.1 (nothing secret in addresses).
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from slackwater.api.calling import Known
from slackwater.people.roles import Role
from tests.contracts.private.agency import WRITTEN, Agency, agency, let_guess
from tests.contracts.private.every_route import MOST_A_ROUTE, SHORT, Call, bodies, calls
from tests.contracts.private.searching import closed_keys, not_for, pairs, told_by
from tests.contracts.seeded import NUMBERS, POINTS

NOT_LEADS = [Role.PUBLIC, Role.VIEWER, Role.FIELD, Role.SCIENTIST, Role.ADMIN]
LOGS = ("slackwater", "uvicorn", "starlette", "fastapi", "sqlalchemy", "root")
"""Who logs for the service; the test's own client logs too."""


@pytest.fixture(scope="module", autouse=True)
def unhurried() -> Iterator[None]:
    """A test asks more in a minute than anybody may."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Known, "_too_many", lambda *_: None)
        let_guess(patch)
        yield


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Agency]:
    with agency(tmp_path_factory.mktemp("agency")) as made:
        yield made


@pytest.fixture(scope="module")
def to_the_lead(served: Agency) -> dict[Call, Any]:
    """All that the lead is answered, before all others: it is kept where it can be."""
    browser = served.service.caller(Role.LEAD)
    return {call: browser.get(call.address) for call in calls(served)}


@pytest.fixture(scope="module")
def asked(request: pytest.FixtureRequest) -> int:
    """Addresses a route: more of them in the long run."""
    return MOST_A_ROUTE if request.config.getoption("--long") else SHORT


SOON = (Role.PUBLIC,)


@pytest.mark.parametrize(
    "role",
    [role if role in SOON else pytest.param(role, marks=pytest.mark.long) for role in NOT_LEADS],
    ids=str,
)
def test_no_secret_is_in_any_byte_of_any_answer(
    served: Agency, to_the_lead: dict[Call, Any], role: Role, asked: int,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Of every route, asked after the lead asked the same: text, headers, errors, names of columns;
    no tag of an answer to the lead spares it; nothing of it is in the log."""
    caplog.set_level(logging.DEBUG)
    browser, paths = served.service.caller(role), set()
    for call in calls(served, asked):
        answer = browser.get(call.address)
        assert answer.status_code < 500, (call, answer.text)
        told = told_by(answer)
        assert not_for(served, role, told, call.address) == [], call
        if role is not Role.FIELD:  # the own run has whom to ring
            assert not closed_keys(served, role, answer), call
        tag = to_the_lead[call].headers.get("etag") if call in to_the_lead else None
        own = not call.path.startswith("/api/meet/")  # those tell everyone the same
        if tag and own and call.path.startswith("/api/") and answer.headers.get("etag"):
            again = browser.get(call.address, headers={"If-None-Match": tag})
            assert (again.status_code, again.content) == (answer.status_code, answer.content), call
        paths.add(call.path)
    assert paths == {call.path for call in to_the_lead}
    assert len(paths) >= 50
    assert_nothing_logged(served, caplog)


def test_the_search_finds_each_secret_where_it_may_be_read(
    served: Agency, to_the_lead: dict[Call, Any]
) -> None:
    """The same search, of what the lead and the admin were told, finds every text, number and place
    that was planted: it can fail."""
    told = "\n".join(told_by(answer) for answer in to_the_lead.values())
    admin = served.service.caller(Role.ADMIN)
    told += "\n".join(admin.get(f"/api/{what}").text for what in ("people", "tokens"))
    leads = {"X-Slackwater-Key": served.key}
    meeting = served.ids["meeting_code"][0]
    told += served.service.browser().get(f"/api/meet/{meeting}/lead", headers=leads).text
    found = set(not_for(served, Role.PUBLIC, told))
    numbers = {each for listed in NUMBERS.values() for each in listed}
    places = {each for point in POINTS for each in point}
    texts = {text for text, readers in WRITTEN.items() if Role.PUBLIC not in readers}
    assert numbers | places | texts | set(served.closed_to(Role.PUBLIC).texts) <= found
    keys = {
        name for each in to_the_lead.values() for name in closed_keys(served, Role.PUBLIC, each)
    }
    assert keys == set(served.closed_to(Role.PUBLIC).columns)


def test_who_may_read_what_people_write_does_read_it(served: Agency) -> None:
    """Each text reaches one role beside the lead that may read it: closing all would be no cure."""
    for role in (Role.FIELD, Role.SCIENTIST, Role.ADMIN):
        browser = served.service.caller(role)
        told = "\n".join(told_by(browser.get(call.address)) for call in calls(served, 0))
        own = {text for text, readers in WRITTEN.items() if role in readers}
        assert not_for(served, role, "\n".join(own)) == []
        assert [text for text in own if text not in told and "shared case" not in text] == []


def test_what_changes_things_tells_no_secret_either(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """Every route that does not only read, called with a body about what is there, another's where
    there are two, and with a body of nothing: refusals, conflicts and faults tell nothing."""
    caplog.set_level(logging.DEBUG)
    with agency(tmp_path) as served:
        sent = bodies(served)
        for role in NOT_LEADS:
            browser, paths = served.service.caller(role), set()
            for call in calls(served, 3, unsafe=True):
                if call.path in ("/api/people/{name}", "/api/sign-out") and role is Role.ADMIN:
                    continue
                about = sent.get((call.method, call.path.replace(":path", "")), {})
                for body in (about, {}):
                    answer = browser.request(call.method, call.address, json=body)
                    assert answer.status_code < 500, (call, answer.text)
                    told = told_by(answer)
                    assert not_for(served, role, told, call.address) == [], (role, call)
                paths.add(call.path)
                if call.path == "/api/sign-out":
                    browser = served.service.caller(role)
            assert len(paths) >= 25
        assert_nothing_logged(served, caplog)


def test_an_error_nobody_foresaw_tells_nothing(served: Agency) -> None:
    """Whatever broke, and whatever it held: a sentence that is always the same."""
    app = served.service.app
    client = type(served.service.caller(Role.PUBLIC))(
        app, base_url=served.service.here, raise_server_exceptions=False
    )
    with pytest.MonkeyPatch.context() as patch:

        def broken(*_: Any, **__: Any) -> Any:
            raise RuntimeError("SECRET-landholder-1")

        patch.setattr(type(app.state.showing), "of", broken)
        answers = [
            client.get(f"/api/{what}") for what in ("catchment", "offtakes", "offtakes/A/why")
        ]
    for answer in answers:
        assert answer.status_code == 500
        assert "SECRET" not in told_by(answer)
        assert {name for name, _ in pairs(answer.json())} == {"error", "code", "message"}


def assert_nothing_logged(served: Agency, caplog: pytest.LogCaptureFixture) -> None:
    """Require that no line of the service's log, of all levels, holds anything private."""
    lines = [
        f"{each.name}: {each.getMessage()} {each.exc_text or ''}"
        for each in caplog.records
        if each.name.startswith(LOGS)
    ]
    assert not_for(served, Role.PUBLIC, "\n".join(lines)) == []
