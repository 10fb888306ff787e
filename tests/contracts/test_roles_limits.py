"""How often one caller is answered.

Sources: OWASP ASVS 4.0.3, 11.1.4 (limits against excessive calls) and 2.2.1 (tries of passwords);
RFC 6585, 4 (429); RFC 9110, 10.2.3 (Retry-After).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from slackwater.api.rate_limits import Limits, address_of
from slackwater.people.roles import NOBODY, Caller, Role
from tests.contracts.roles_served import RolesServed, roles_served

LEAD = Caller("ada", frozenset({Role.LEAD}))
MINUTE_S = 60


@pytest.fixture
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RolesServed]:
    with roles_served(tmp_path_factory.mktemp("limits")) as served:
        yield served


def answered(limits: Limits, caller: Caller, address: str, times: int, path: str = "/") -> int:
    """Count how many of some requests at once are answered."""
    method = "POST" if path != "/" else "GET"
    return sum(limits.wait_s(method, path, caller, address) == 0 for _ in range(times))


def test_an_address_and_an_account_have_each_their_minute() -> None:
    """900 of an address without account, 1,200 of an account; one does not count for the other."""
    limits = Limits()
    assert answered(limits, NOBODY, "192.0.2.1", 1000) == 900
    assert answered(limits, NOBODY, "192.0.2.2", 1000) == 900
    assert answered(limits, LEAD, "192.0.2.1", 1300) == 1200
    assert answered(limits, Caller("vera", LEAD.roles), "192.0.2.1", 10) == 10


@pytest.mark.parametrize("path", ["/api/sign-in", "/api/password"])
@pytest.mark.parametrize("caller", [NOBODY, LEAD])
def test_passwords_are_tried_ten_times_a_minute_from_one_address(path: str, caller: Caller) -> None:
    """Whichever names they are tried for, and whoever is signed in there."""
    limits = Limits()
    assert answered(limits, caller, "192.0.2.1", 20, path) == 10
    assert answered(limits, caller, "192.0.2.2", 20, path) == 10
    assert limits.wait_s("GET", "/", caller, "192.0.2.1") == 0


def test_the_minute_moves(monkeypatch: pytest.MonkeyPatch) -> None:
    """A minute after the first request the next is answered; the wait that is told suffices."""
    now = [1_000_000.0]
    monkeypatch.setattr("time.time", lambda: now[0])
    limits = Limits()
    assert limits.wait_s("POST", "/api/sign-in", NOBODY, "a") == 0
    now[0] += 20
    assert answered(limits, NOBODY, "a", 9, "/api/sign-in") == 9
    wait_s = limits.wait_s("POST", "/api/sign-in", NOBODY, "a")
    assert wait_s == MINUTE_S - 20
    now[0] += wait_s - 1
    assert limits.wait_s("POST", "/api/sign-in", NOBODY, "a") > 0
    now[0] += 1.5
    assert limits.wait_s("POST", "/api/sign-in", NOBODY, "a") == 0
    assert limits.wait_s("POST", "/api/sign-in", NOBODY, "a") > 0


def test_many_addresses_fill_no_memory() -> None:
    """However many call, as many are counted as were said, and the busy one stays counted."""
    limits = Limits(most_watched=20)
    answered(limits, NOBODY, "busy", 900)
    for number in range(2000):
        limits.wait_s("GET", "/", NOBODY, f"198.51.100.{number}")
        assert limits.wait_s("GET", "/", NOBODY, "busy") > 0
    assert len(limits._storage.events) <= 20


@pytest.mark.parametrize(
    ("host", "counted"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:ffff::1", "2001:db8:1:2::/64"),
        ("testclient", "testclient"),
    ],
)
def test_one_caller_has_a_whole_network_of_ipv6(host: str, counted: str) -> None:
    """RFC 4291, 2.5.4: the lower 64 bits are a host's own to choose."""
    assert address_of({"client": (host, 1)}) == counted
    assert address_of({"client": None}) == ""


def test_too_many_requests_are_refused_in_the_one_shape(service: RolesServed) -> None:
    """429 with the seconds to wait; whoever is signed in at the same address is still answered."""
    nobody = service.caller(None)
    answers = [nobody.post("/api/sign-in", json={}) for _ in range(11)]
    assert {each.status_code for each in answers[:10]} == {400}
    error = answers[10].json()["error"]
    assert (answers[10].status_code, error["code"]) == (429, "too_many")
    assert set(error) == {"code", "message"}
    assert 1 <= int(answers[10].headers["retry-after"]) <= MINUTE_S
    assert service.caller(Role.LEAD).get("/api/offers").status_code == 200


def test_the_page_s_own_files_are_not_counted(service: RolesServed) -> None:
    """Many people behind one address open the page at once."""
    nobody = service.caller(None)
    assert {nobody.get("/assets/none.js").status_code for _ in range(320)} == {404}
    assert nobody.get("/api/me").status_code == 200


def test_without_accounts_nobody_is_counted(client: TestClient) -> None:
    """On a machine of one's own a script may ask as fast as it likes."""
    assert {client.get("/api/guide").status_code for _ in range(1250)} == {200}
