"""Whoever calls, and whatever is sent: the service answers as its own description says.

Requests are made by schemathesis from the description, sound ones and others, about what is there
and what is not. No answer is a server's error, has a status that is not declared, comes as another
kind or in another shape than declared, or tells what its caller may not know.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import CHECKS, load_all_checks

from slackwater.api.calling import Known
from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency, agency, let_guess
from tests.contracts.private.every_route import values
from tests.contracts.private.searching import not_for

load_all_checks()
HELD = CHECKS.get_by_names([
    "not_a_server_error", "status_code_conformance", "content_type_conformance",
    "response_headers_conformance", "response_schema_conformance",
])  # fmt: skip
FEW, MANY = 2, 25
"""Requests of each operation, of each of sound and unsound ones."""


@dataclass(frozen=True)
class AsWhom:
    """How somebody calls, and as which role what they are told is judged."""

    name: str
    role: Role
    token: str = ""


CALLERS = [
    AsWhom("public", Role.PUBLIC),
    *(
        pytest.param(each, marks=pytest.mark.long)
        for each in (
            AsWhom("lead", Role.LEAD),
            *(AsWhom(role.value, role) for role in
              (Role.VIEWER, Role.FIELD, Role.SCIENTIST, Role.ADMIN)),
            AsWhom("read token", Role.LEAD, "read"),
            AsWhom("public token", Role.PUBLIC, "public"),
        )
    ),
]  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def unhurried() -> Iterator[None]:
    """A test asks more in a minute than anybody may."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Known, "_too_many", lambda *_: None)
        let_guess(patch)
        yield


@pytest.fixture
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Agency]:
    """An agency of its own a caller: requests change it."""
    with agency(tmp_path_factory.mktemp("described")) as made:
        yield made
        made.service.app.state.works.close()


def headers_of(served: Agency, whom: AsWhom) -> dict[str, str]:
    """Give the headers by which somebody is known."""
    service = served.service
    if whom.token:
        made = service.accounts.make_token("lead person", "a script", whom.token, 30)
        return {"Authorization": f"Bearer {made['secret']}"}
    browser = service.caller(whom.role)
    headers = {"X-Slackwater-Csrf": browser.headers.get("X-Slackwater-Csrf", "")}
    secret = browser.cookies.get("slackwater")
    return headers | ({"Cookie": f"slackwater={secret}"} if secret else {})


@pytest.mark.parametrize("whom", CALLERS, ids=lambda each: each.name)
def test_every_operation_answers_as_it_is_described(
    served: Agency, whom: AsWhom, request: pytest.FixtureRequest
) -> None:
    """For everybody: no server's error, no status or content undeclared, nothing closed."""
    most = MANY if request.config.getoption("--long") else FEW
    app, known = served.service.app, values(served)
    headers = {"Host": "127.0.0.1", **headers_of(served, whom)}
    described = schemathesis.openapi.from_dict(app.openapi())
    described.app = app
    asked, sent = 0, set[str]()
    for found in described.get_all_operations():
        operation = found.ok()
        for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):
            asked += ask(served, whom, operation, mode, most, headers, known, sent)
    assert asked >= 75 * FEW


def texts_in(value: Any) -> Iterator[str]:
    """Give every text of a body, at any depth."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from texts_in(each)
    elif isinstance(value, list):
        for each in value:
            yield from texts_in(each)


def ask(
    served: Agency, whom: AsWhom, operation: Any, mode: GenerationMode, most: int,
    headers: dict[str, str], known: dict[str, list[str]], sent: set[str],
) -> int:  # fmt: skip
    """Send some requests of one operation, about what is there where that can be."""
    count = 0

    @settings(max_examples=most, suppress_health_check=list(HealthCheck))
    @given(st.data())
    def each(data: Any) -> None:
        nonlocal count
        case = data.draw(operation.as_strategy(generation_mode=mode))
        for place in (case.path_parameters, case.query):
            for name in [name for name in place or {} if name in known]:
                if data.draw(st.booleans()):
                    place[name] = data.draw(st.sampled_from(known[name]))
        answer = case.call(headers=headers)
        case.validate_response(answer, checks=HELD)
        told = f"{answer.headers}\n{answer.content.decode(errors='replace')}"  # a photo is no text
        if whom.token:  # everybody may read their own name
            told = told.replace("lead person", "")
        sent.update(each for each in texts_in(case.body) if any(map(str.isdigit, each)))
        for each in sorted(sent, key=len, reverse=True):  # and what they wrote themselves
            told = told.replace(json.dumps(each)[1:-1], "").replace(each, "")
        assert not_for(served, whom.role, told, f"{case.path_parameters} {case.query}") == [], (
            case.as_curl_command()
        )
        count += 1

    with suppress(Unsatisfiable):  # of an operation that takes nothing, nothing is unsound
        each()
    return count
