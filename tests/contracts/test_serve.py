"""Where the service listens, whom it lets in, and whom it believes."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi import FastAPI

from slackwater.api.serve import Door, accounts_of, config_of, serve
from slackwater.desk.accounts import Accounts
from slackwater.desk.showing import AsRead
from slackwater.errors import UsageError
from tests.contracts.small_register import small_working
from tests.contracts.small_view import small_view

ROOT = Path(__file__).parents[2]
BEHIND = "https://river.example.invalid"


def never() -> Any:
    """What must not be opened."""
    raise AssertionError("opened before it was refused")


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.0.7", "::", "river.example"])
@pytest.mark.parametrize(
    "more",
    [{}, {"behind": BEHIND}, {"accounts": True}, {"accounts": True, "public_map": True}],
)
def test_others_reach_it_with_accounts_and_through_https_alone(
    host: str, more: dict[str, Any]
) -> None:
    """A host that others can reach is refused with the reason, before anything is opened."""
    with pytest.raises(UsageError, match="--accounts"):
        serve(never, Door(host, 0, **more), {})


def test_beyond_this_machine_with_both_it_is_sound() -> None:
    """Accounts and a proxy that speaks https."""
    Door("0.0.0.0", 0, BEHIND, accounts=True).require_sound()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"public_map": True}, "--public-map"),
        ({"sign_in_header": "X-Name", "behind": BEHIND}, "--sign-in-header"),
        ({"sign_in_header": "X-Name", "accounts": True}, "--behind"),
        ({"sign_in_header": "X-Name", "accounts": True, "behind": BEHIND, "host": "0.0.0.0"},
         "this machine alone"),
        ({"sign_in_header": "Cookie", "accounts": True, "behind": BEHIND}, "Cookie"),
        ({"sign_in_header": "X Name", "accounts": True, "behind": BEHIND}, "X Name"),
        ({"accounts": True, "behind": "http://river.example"}, "https"),
    ],
)  # fmt: skip
def test_a_door_that_lets_in_whom_nobody_meant_is_refused(more: dict[str, Any], said: str) -> None:
    """What is missing is said, before anything is opened."""
    with pytest.raises(UsageError, match=said):
        serve(never, Door(**{"port": 0, **more}), {})


def test_half_a_provider_is_said_before_anything_is_opened() -> None:
    """And only where people sign in: otherwise the environment is not looked at."""
    half = {"SLACKWATER_OIDC_ISSUER": "https://id.river.example"}
    with pytest.raises(UsageError, match="SLACKWATER_OIDC_CLIENT_ID"):
        serve(never, Door(port=0, accounts=True), half)
    with pytest.raises(AssertionError, match="opened"):
        serve(never, Door(port=0), half)


def test_with_accounts_and_nobody_added_it_says_how_to_add_somebody(tmp_path: Path) -> None:
    """Nobody could come in; the first person is added on the command line."""
    working = small_working(tmp_path / "small.sqlite")
    with pytest.raises(UsageError, match="slackwater user add"):
        serve(lambda: working, Door(port=0, accounts=True), {})
    working = small_working(tmp_path / "other.sqlite")
    Accounts(working.register).add_person("ada", ["lead"], None, "test")
    assert [each["name"] for each in accounts_of(working).people()] == ["ada"]
    working.close()


def test_a_catchment_read_from_a_file_has_no_accounts() -> None:
    """They are kept in a database."""
    with pytest.raises(UsageError, match="--database"):
        accounts_of(AsRead(small_view()))


def address_seen(door: Door, peer: str, forwarded: str) -> tuple[str, str]:
    """The caller's address and scheme as the app sees them, behind what the door runs with."""
    seen: list[tuple[str, str]] = []

    async def app(scope: Any, _receive: Any, _send: Any) -> None:
        seen.append((scope["client"][0], scope["scheme"]))

    config = config_of(app, door)  # type: ignore[arg-type]
    config.lifespan = "off"
    config.load()
    headers = [(b"x-forwarded-for", forwarded.encode()), (b"x-forwarded-proto", b"https")]
    scope = {"type": "http", "client": (peer, 4711), "scheme": "http", "headers": headers,
             "server": ("127.0.0.1", 8765), "http_version": "1.1", "method": "GET", "path": "/",
             "query_string": b"", "raw_path": b"/", "root_path": ""}  # fmt: skip
    asyncio.run(config.loaded_app(scope, None, None))  # type: ignore[arg-type]
    return seen[0]


@pytest.mark.parametrize(
    ("door", "peer", "seen"),
    [
        (Door(), "127.0.0.1", ("127.0.0.1", "http")),
        (Door(behind=BEHIND), "127.0.0.1", ("203.0.113.9", "https")),
        (Door(behind=BEHIND), "::1", ("203.0.113.9", "https")),
        (Door(behind=BEHIND), "192.168.0.7", ("192.168.0.7", "http")),
        (Door("0.0.0.0", behind=BEHIND, accounts=True), "192.168.0.7", ("203.0.113.9", "https")),
    ],
)
def test_a_proxy_is_believed_where_there_is_one(
    door: Door, peer: str, seen: tuple[str, str]
) -> None:
    """Without --behind nobody's word counts; with it that of this machine alone, unless it listens
    beyond."""
    assert address_seen(door, peer, "203.0.113.9") == seen


def test_the_nearest_proxy_says_who_calls() -> None:
    """What a caller wrote into the header before it does not count."""
    assert address_seen(Door(behind=BEHIND), "127.0.0.1", "198.51.100.1, 203.0.113.9")[0] == (
        "203.0.113.9"
    )


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database of the small catchment, in which nobody has an account."""
    path = tmp_path_factory.mktemp("serve") / "small.sqlite"
    small_working(path).close()
    return path


@contextmanager
def command(*words: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The command as a process of its own, and what it says first."""
    process = subprocess.Popen(
        [sys.executable, "-m", "slackwater.cli", *words],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT / "server")},
    )  # fmt: skip
    try:
        yield process, process.stdout.readline()
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=60)


def test_the_command_refuses_to_serve_accounts_nobody_has(database: Path) -> None:
    """Exit 2, how to add somebody, and no stack trace."""
    done = subprocess.run(
        [sys.executable, "-m", "slackwater.cli", "serve", "--accounts", "--port", "0",
         "--database", str(database)],
        capture_output=True, text=True, timeout=120, check=False,
        env={"PYTHONPATH": str(ROOT / "server"), "PATH": ""},
    )  # fmt: skip
    assert done.returncode == 2
    assert "slackwater user add" in done.stderr
    assert "Traceback" not in done.stderr


def test_somebody_added_on_the_command_line_signs_in(tmp_path: Path) -> None:
    """From ``user add`` to the map, with the commands as people type them."""
    path = tmp_path / "small.sqlite"
    small_working(path).close()
    password = "heron stands by the weir"
    added = subprocess.run(
        [sys.executable, "-m", "slackwater.cli", "user", "add", "ada", "--roles", "lead,admin",
         "--password-stdin", "--database", str(path)],
        input=password + "\n", capture_output=True, text=True, timeout=120, check=False,
        env={"PYTHONPATH": str(ROOT / "server"), "PATH": ""},
    )  # fmt: skip
    assert added.returncode == 0, added.stderr
    words = ("serve", "--accounts", "--database", str(path), "--port", "0")
    with command(*words) as (_, said):
        here = re.search(r"http://[\d.:]+", said)[0]
        with httpx.Client(base_url=here, trust_env=False) as browser:
            assert browser.get("/api/catchment").status_code == 401
            body = {"name": "Ada", "password": password}
            told = browser.post("/api/sign-in", json=body).json()
            assert (told["name"], told["roles"]) == ("ada", ["admin", "lead"])
            assert browser.get("/api/catchment").status_code == 200
            headers = {"X-Slackwater-Csrf": told["csrf"]}
            assert browser.post("/api/sign-out", headers=headers).status_code == 204
            assert browser.get("/api/catchment").status_code == 401


def test_a_service_of_its_own_kind_is_what_is_configured() -> None:
    """No access log, which would hold the secrets of links; no word of what serves."""
    config = config_of(FastAPI(), Door())
    assert config.access_log is False
    assert config.server_header is False
