"""Whatever a body holds, it is refused in plain words: nothing is filled, nothing falls over.

Source: OWASP ASVS 4.0.3, 5.1.4, 5.5.1-5.5.4 (parsing), 12.1.1 (size), 13.1.5, 13.2.2 (JSON);
CWE-674 (depth), CWE-400; RFC 8259, 6 and 8.2 (numbers, half letters).
"""

from __future__ import annotations

import gzip
import json
import time
from collections.abc import Iterator
from typing import Any

import pytest

from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency
from tests.contracts.private.every_route import bodies, calls

DEEP = 50_000
RAW = {
    "nested lists": "[" * DEEP + "]" * DEEP,
    "nested objects": '{"a":' * DEEP + "1" + "}" * DEEP,
    "nested and unclosed": "[" * DEEP,
    "a number of 5,000 digits": "9" * 5000,
    "a number beyond all": "1e999",
    "not a number": "NaN",
    "endless": "-Infinity",
    "half a letter": '"\\ud800"',
    "NUL": '"\\u0000"',
    "nothing": "",
    "not UTF-8": b'{"a": "\xff\xfe"}',
    "UTF-16": '{"a": 1}'.encode("utf-16"),
    "two values": "{}{}",
    "null": "null",
    "a list": "[]",
    "a text": '"text"',
    "true": "true",
    "a key twice": '{"id": "a", "id": "b"}',
    "__proto__": '{"__proto__": {"roles": ["lead"]}, "constructor": {"prototype": {}}}',
    "20,000 keys": json.dumps({str(number): 0 for number in range(20_000)}),
}
JSON = {"Content-Type": "application/json"}
pytestmark = pytest.mark.usefixtures("unhurried")


def taking_json(served: Agency) -> Iterator[tuple[str, str, Any]]:
    """Every operation that takes JSON, at an address that stands for something."""
    sent = bodies(served)
    for call in calls(served, 0, unsafe=True):
        path = call.path.replace(":path", "")
        if (call.method, path) in sent and not path.startswith("/api/meet/"):  # see test_meeting
            yield call.method, call.address, sent.pop((call.method, path))


@pytest.mark.parametrize("what", RAW)
def test_a_body_that_is_none_is_refused(served: Agency, what: str) -> None:
    """By every operation that takes one: 400, soon, and the next request is answered."""
    for role in (Role.LEAD, Role.ADMIN):
        browser = served.service.caller(role)
        for method, address, _ in taking_json(served):
            if address == "/api/sign-in":
                continue
            began = time.monotonic()
            answer = browser.request(method, address, content=RAW[what], headers=JSON)
            assert answer.status_code in (400, 403), (
                address,
                answer.status_code,
                answer.text[:300],
            )
            assert len(answer.content) < 20_000
            assert time.monotonic() - began < 10, address
    assert served.service.browser().get("/api/me").status_code == 200


@pytest.mark.parametrize("what", [name for name in RAW if name not in ("nothing", "two values")])
def test_a_strange_value_in_any_field_is_no_error_of_the_server_s(
    served: Agency, what: str
) -> None:
    """Each field of each body in turn holds it, all others as they should be."""
    raw = RAW[what]
    if isinstance(raw, bytes) or what == "nested and unclosed":
        return
    browser = served.service.caller(Role.LEAD)
    for method, address, body in taking_json(served):
        if address.startswith(("/api/sign-", "/api/best", "/api/how", "/api/curve", "/api/cases")):
            continue
        for name in body:
            marked = json.dumps(body | {name: "@here@", "dry_run": True} if "changes" in body
                                else body | {name: "@here@"})  # fmt: skip
            sent = marked.replace('"@here@"', raw)
            answer = browser.request(method, address, content=sent, headers=JSON)
            assert answer.status_code < 500, (address, name, answer.text[:300])


def test_cells_of_an_edit_hold_no_numbers_without_end(served: Agency) -> None:
    """Of numbers, texts and places alike: what no float holds is refused where it is read."""
    browser = served.service.caller(Role.LEAD)
    for column in ("capacity_m3s", "label", "geometry", "quote", "landholder", ""):
        for value in ("1" + "0" * 400, "1e400", "[1e308, 1e308, 1e308]", "[[[[1]]]]", '{"lon": 1}',
                      '[1, "a"]', "[true, false]", '"\\ud800"', '"' + "x" * 20_000 + '"',
                      "true"):  # fmt: skip
            change = f'{{"table": "offtakes", "key": "A", "column": "{column}", "new": {value}}}'
            sent = ('{"id": "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c21", "why": "w", "dry_run": true, '
                    f'"changes": [{change}]}}')  # fmt: skip
            answer = browser.post("/api/edits", content=sent, headers=JSON)
            assert 400 <= answer.status_code < 500, (column, value[:30], answer.text[:300])


def test_a_body_is_bounded_whatever_it_says_of_itself(served: Agency) -> None:
    """Too long by what it says, too long without saying so, packed small: 413, or read as what it
    is."""
    browser = served.service.caller(Role.LEAD)
    large = b'{"a": "' + b"a" * 5_000_000 + b'"}'

    def blocks() -> Iterator[bytes]:
        for start in range(0, len(large), 65536):
            yield large[start : start + 65536]

    for content in (large, blocks()):
        answer = browser.post("/api/edits", content=content, headers=JSON)
        assert (answer.status_code, answer.json()["error"]["code"]) == (413, "too_large")
    packed = gzip.compress(large * 20)
    answer = browser.post("/api/edits", content=packed, headers=JSON | {"Content-Encoding": "gzip"})
    assert answer.status_code == 400
    for said in ("-1", "1e9", "99999999999999999999", "0x10", "\u0661"):
        headers = JSON | {"Content-Length": said}
        answer = browser.post("/api/edits", content=b"{}", headers=[
            (name.encode(), value.encode()) for name, value in headers.items()])  # fmt: skip
        assert 400 <= answer.status_code < 500, said


def test_whoever_has_no_account_sends_little(served: Agency) -> None:
    """Where anyone may send something, 20 kB suffice; refused before it is read as anything."""
    many = json.dumps({str(number): 0 for number in range(5_000)})
    for path in ("/api/sign-in", "/api/sign-out"):
        answer = served.service.browser().post(path, content=many, headers=JSON)
        assert (answer.status_code, len(answer.content) < 500) == (413, True), path


def test_what_is_kept_is_bounded_by_addresses_too(served: Agency) -> None:
    """CWE-400: long queries that mean nothing do not fill the memory with kept answers."""
    from slackwater.api.kept import Kept

    app = served.service.app
    found = app.middleware_stack
    while not isinstance(found, Kept):
        found = getattr(found, "app", None) or found._app
    kept, most = found, 2_000_000
    kept._most, before = most, kept._most
    browser = served.service.browser()
    for number in range(60):
        assert browser.get(f"/api/guide?x={number}{'x' * 50_000}").status_code == 200
    held = sum(len(part) for key in kept._kept for part in key)
    assert held <= most
    kept._most = before
