"""Killed in a storm of edits: what was acknowledged is there, nothing is half there, ever."""

from __future__ import annotations

import random
import sqlite3
import time
from collections.abc import Callable

import httpx
import pytest

from slackwater.store import open_register
from tests.store.postgres import Server
from tests.store.served import TOO_SOON, Serve
from tests.store.storm import Storm, lost_edits, require_whole, storm

SHORTEST_S, LONGEST_S = 0.1, 1.2
AT_LEAST = 5
"""Edits that are acknowledged before the blow."""

ROUNDS = {"sqlite": 2, "postgresql": 2}
ROUNDS_STOPPED = 1
LONG_ROUNDS = {"sqlite": 100, "postgresql": 60}
LONG_ROUNDS_STOPPED = 40


def blow(raging: Storm, strike: Callable[[], None], chance: random.Random) -> None:
    """Strike in the middle of a storm, at a moment nobody chose."""
    raging.rage(chance.uniform(SHORTEST_S, LONGEST_S), AT_LEAST)
    strike()
    raging.end()


def hold(url: str, raging: Storm) -> None:
    """Open the database anew and hold it to what was acknowledged."""
    register = open_register(url)
    try:
        with register.connected.writing():
            pass  # whatever the dead service's database was still doing is over now
        assert lost_edits(register, raging.kept) == []
        require_whole(register, raging.sent)
    finally:
        register.close()


def send_again(address: str, raging: Storm) -> None:
    """Whoever was not answered sends again: it is done once, whether it was kept or not."""
    with httpx.Client(base_url=address, timeout=60) as client:
        past = client.get("/api/edits", params={"limit": 200}).json()["edits"]
        there = {each["id"] for each in past}
        caught_up(client, past[0]["seq"])
        unanswered = [i for p in raging.workers for i in list(p.sent)[-1:] if i not in p.kept]
        for edit_id in unanswered:
            body = {"id": edit_id, "why": "a storm", "changes": raging.sent[edit_id]}
            answer = client.post("/api/edits", json=body)
            assert answer.status_code in (200, 409), answer.text
            if answer.status_code == 200:
                assert answer.json()["repeated"] is (edit_id in there)
            assert (edit_id not in there) or answer.status_code == 200


def caught_up(client: httpx.Client, revision: int) -> None:
    """Wait until the newest data is shown: at once by a new service, soon by one that went on."""
    end = time.monotonic() + 60
    while (shown := client.get("/api/edition").json()["revision"]) != revision:
        assert shown < revision
        assert time.monotonic() < end
        time.sleep(0.05)


def rounds_of_killing(url: str, kind: str, serving: Serve, rounds: int, seed: int) -> None:
    """Serve, storm, kill, hold; serve again, and so on."""
    chance = random.Random(seed)
    service = serving()
    for _ in range(rounds):
        raging = storm(service.address)
        blow(raging, service.kill, chance)
        if kind == "sqlite":
            with sqlite3.connect(url.removeprefix("sqlite:///")) as database:
                assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            database.close()
        hold(url, raging)
        service = serving()
        send_again(service.address, raging)
        hold(url, raging)
    service.kill()


def rounds_of_stopping(url: str, postgres: Server, serving: Serve, rounds: int, seed: int) -> None:
    """The database server is stopped at once, under a service that goes on, and started again."""
    chance = random.Random(seed)
    service = serving()
    for _ in range(rounds):
        raging = storm(service.address)
        blow(raging, postgres.stop_now, chance)
        with httpx.Client(base_url=service.address, timeout=60) as client:
            down = client.get("/api/edits")
            assert down.status_code == 503
            assert down.json()["error"]["code"] == "store_failed"
            assert client.get("/api/offtakes").status_code == 200  # what was worked out stays
        postgres.start()
        hold(url, raging)
        send_again(service.address, raging)
        hold(url, raging)
    service.kill()


def test_a_killed_service_keeps_every_acknowledged_edit(
    url: str, kind: str, serving: Serve
) -> None:
    """SIGKILL in a storm: history, cells, revision and data version agree, nothing is lost."""
    rounds_of_killing(url, kind, serving, ROUNDS[kind], seed=1)


@pytest.mark.parametrize("kind", ["postgresql"])
def test_a_stopped_database_server_keeps_every_acknowledged_edit(
    url: str, postgres: Server, serving: Serve
) -> None:
    """PostgreSQL stopped without tidying, and started again: the same service goes on with it."""
    rounds_of_stopping(url, postgres, serving, ROUNDS_STOPPED, seed=2)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_these_tests_see_an_edit_acknowledged_before_it_is_kept(url: str, serving: Serve) -> None:
    """With a register that answers first and commits half a second later, edits are lost."""
    service = serving(program=TOO_SOON)
    raging = storm(service.address)
    blow(raging, service.kill, random.Random(3))
    register = open_register(url)
    try:
        assert lost_edits(register, raging.kept)
        require_whole(register, raging.sent)  # what is there is whole: only the promise is broken
    finally:
        register.close()


@pytest.mark.long
def test_two_hundred_rounds_of_killing(url: str, kind: str, serving: Serve) -> None:
    """The same, many times over."""
    rounds_of_killing(url, kind, serving, LONG_ROUNDS[kind], seed=4)


@pytest.mark.long
@pytest.mark.parametrize("kind", ["postgresql"])
def test_many_rounds_of_stopping(url: str, postgres: Server, serving: Serve) -> None:
    """The same, many times over."""
    rounds_of_stopping(url, postgres, serving, LONG_ROUNDS_STOPPED, seed=5)
