"""A meeting held on a laptop: one shared case, whoever reaches it, and nothing else."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest
from starlette.testclient import TestClient

from slackwater.api.guards import CONTENT_POLICY
from slackwater.api.listening import listen
from slackwater.api.meet import create_meeting, door_for, hold, meet, told
from slackwater.api.meeting_here import MeetingDoor
from slackwater.api.own_addresses import own_addresses
from slackwater.desk.shared_pages import shared_case_named
from slackwater.desk.working import Working
from slackwater.errors import UsageError
from tests.contracts.small_register import client_of, ended, new_id, small_working
from tests.journeys.meeting.served import shared_case

ROOT = Path(__file__).parents[3]
LAPTOP = "http://192.168.43.1:8770"
TRIAL = {"weights": {"risk": 500, "overlap": 200, "cost": 300}, "budget": 62_000.0, "way": "score"}


def never() -> Any:
    """What must not be opened."""
    raise AssertionError("opened before it was refused")


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with a shared case ``Round one``, one that is not, and two of one name."""
    path = tmp_path_factory.mktemp("meet") / "small.sqlite"
    working = small_working(path)
    for name in ("Round one", "Twin", "Twin"):
        shared_case(working, 62_000.0, name)
    ended(client_of(working), "/api/cases", {"id": new_id(), "name": "Mine", "trial": TRIAL})
    working.close()
    return path


@pytest.fixture(scope="module")
def working(database: Path) -> Iterator[Working]:
    from slackwater.desk.working import open_working

    made = open_working(str(database))
    yield made
    made.close()


@pytest.fixture(scope="module")
def room(working: Working) -> TestClient:
    """What a phone on the network reaches, the lifetime of the service apart."""
    held = hold(working, "Round one", 2)
    app = create_meeting(held, working, MeetingDoor(LAPTOP, near_only=True, any_host=True))
    app.state.leaving = lambda: True
    client = TestClient(app, base_url=LAPTOP, client=("192.168.43.7", 50_000))
    client.headers["X-Slackwater-Key"] = held.opened.key
    client.code = held.opened.code  # type: ignore[attr-defined]
    return client


@pytest.mark.parametrize(
    ("asked", "said"),
    [("round one", "no case"), ("Mine", "not shared"), ("Twin", "2 shared cases"), ("", "no case")],
)
def test_no_other_case_is_shown(working: Working, asked: str, said: str) -> None:
    """Not one that is not there, not shared, or not the only one of its name."""
    with pytest.raises(UsageError, match=said):
        shared_case_named(working, asked)


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.0.7", "::", "river.example"])
def test_the_network_joins_where_somebody_said_so(host: str) -> None:
    """Refused before anything is opened, unless --open-to-network is said."""
    with pytest.raises(UsageError, match="--open-to-network"):
        meet(never, "Round one", host, 0, open_to_network=False)


def test_a_room_reads_the_public_page_its_style_sheet_and_the_map(room: TestClient) -> None:
    """At /case, under whatever name this machine is called; nothing is kept by a cache."""
    page = room.get("/case", headers={"Host": "some-laptop:8770"})
    assert page.status_code == 200
    assert "Round one" in page.text
    assert "<script" not in page.text
    for address in re.findall(r'(?:href|src)="([^"]*)"', page.text):
        answer = room.get(address)
        assert answer.status_code == 200
        assert answer.headers["content-security-policy"] == CONTENT_POLICY
        assert answer.headers["cache-control"] == "no-store"
    saved = room.get("/case/map.html").headers["content-disposition"]
    assert saved == 'attachment; filename="small-river-round-one.html"'
    assert room.get("/", follow_redirects=False).headers["location"] == "/meet"


@pytest.mark.parametrize(
    "path", ["/api/catchment", "/api/me", "/api/cases", "/api/meetings", "/shared/x", "/ogc",
             "/guide/methods", "/print/look.css", "/api/openapi.json", "/docs", "/field", "/redoc",
             "/../pyproject.toml", "/assets/../index.html", "/assets/..%2f..%2fapp.py"]
)  # fmt: skip
def test_a_room_sees_nothing_else(room: TestClient, path: str) -> None:
    """404 in the one shape of errors."""
    answer = room.get(path)
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "not_found")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
def test_a_room_changes_nothing_of_the_case(room: TestClient, method: str) -> None:
    """405: there is only something to look at."""
    assert room.request(method, "/case").status_code == 405


def test_phones_of_the_network_join_and_lead_nothing(room: TestClient) -> None:
    """They are let in under any name, weigh and look; what leads is taken from here alone."""
    at = f"/api/meet/{room.code}"  # type: ignore[attr-defined]
    token = room.post(f"{at}/join", json={}, headers={"Host": "laptop.local"}).json()["phone"]
    body = {"levels": {"risk": 1, "overlap": 1, "cost": 1}, "group": "angler"}
    kept = room.put(f"{at}/mine", json=body, headers={"X-Slackwater-Phone": token})
    assert kept.status_code == 200
    assert room.get(f"{at}/news").text.startswith("event: now")
    assert room.get(at).json()["join"] == f"{LAPTOP}/meet/{room.code}"  # type: ignore[attr-defined]
    assert room.get(f"{at}/qr.svg").status_code == 200
    refused = room.put(f"{at}/lead/step", json={"step": "room"})
    assert (refused.status_code, refused.json()["error"]["code"]) == (403, "not_from_here")
    foreign = room.post(f"{at}/join", json={}, headers={"Origin": "http://elsewhere.example"})
    assert foreign.status_code == 403


def test_what_is_opened_is_said_in_words(working: Working) -> None:
    """Which case, to whom, without account and encryption, where everyone goes, and what is not
    there."""
    held = hold(working, "Round one", 2)
    with listen("127.0.0.1", 0) as near, listen("0.0.0.0", 0) as far:
        words = told(held, near, door_for(near))
        assert "on this machine alone" in words
        assert "cannot reach this machine" in words
        door = door_for(far)
        words = told(held, far, door)
    for each in ("Round one", "every machine", "without an account", "unencrypted", "no names",
                 f"/wall#{held.opened.key}", f"/lead#{held.opened.key}"):  # fmt: skip
        assert each in words
    if own_addresses():
        assert door.join(held.opened.code) in words
        assert f"//{own_addresses()[0]}:" in door.root


@contextmanager
def command(path: Path, port: int) -> Iterator[str]:
    """The command as a process of its own, and what it says; it is told to stop in the end."""
    words = ("meet", "Round one", "--database", str(path), "--open-to-network", "--port", str(port))
    process = subprocess.Popen(
        [sys.executable, "-m", "slackwater.cli", *words],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT / "server")},
    )  # fmt: skip
    assert process.stdout is not None
    lines = []
    while not lines or (lines[-1] and "It ends with this command" not in lines[-1]):
        lines.append(process.stdout.readline())
    try:
        yield "".join(lines)
    finally:
        process.send_signal(signal.SIGINT)
        rest, errors = process.communicate(timeout=60)
    assert (process.returncode, errors) == (0, "")
    assert "goes on where the command is given again" in rest


def test_the_command_goes_on_with_the_meeting_that_was_on(database: Path, tmp_path: Path) -> None:
    """Ended in the midst of it with a wall that looks, soon and without an error; given again it
    has the same code at the same step, and another key."""
    copied = tmp_path / "copied.sqlite"
    copied.write_bytes(database.read_bytes())
    with listen("127.0.0.1", 0) as free:
        port = free.getsockname()[1]
    asking = httpx.Client(base_url=f"http://127.0.0.1:{port}/api/meet", trust_env=False, timeout=30)
    keys, codes = [], []
    with asking:
        for begun in ("opens a meeting", "goes on with the meeting"):
            with command(copied, port) as said:
                assert begun in said
                found = re.search(r"/meet/(\w{6})/lead#(\S+)", said)
                assert found is not None
                codes.append(found[1])
                keys.append(found[2])
                key, lead = {"X-Slackwater-Key": keys[-1]}, f"/{codes[0]}/lead"
                step = asking.get(lead, headers=key).json()["step"]
                assert step == ("river" if len(keys) == 1 else "list")
                put = asking.put(f"{lead}/step", json={"step": "list"}, headers=key)
                assert put.status_code == 200
                with asking.stream("GET", f"/{codes[0]}/news") as news:
                    assert next(news.iter_lines()) == "event: now"
                    began = time.monotonic()
            assert time.monotonic() - began < 20
        assert codes[0] == codes[1]
        assert keys[0] != keys[1]
