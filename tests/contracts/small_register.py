"""A working database of a small catchment, and ways to wait for what it works out."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any
from uuid import uuid4

from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.catchment.raw import RawCatchment
from slackwater.desk.importing import given_of
from slackwater.desk.opening import opened
from slackwater.desk.working import Working, open_working
from slackwater.store import open_register
from tests.catchment.small import small

HERE = "http://127.0.0.1"
PATIENCE_S = 60.0


def working_on(raw: RawCatchment, path: Path) -> Working:
    """Make a database of a catchment and open it to work on; close it in the end."""
    url = f"sqlite:///{path}"
    checked = opened(raw)
    register = open_register(url, create=True)
    version = checked.catchment.data_version
    register.replace(given_of(checked, raw), lambda _: version, edit_id=new_id(), why="first")
    register.close()
    return open_working(url)


def small_working(path: Path) -> Working:
    """Give the small catchment of the checks as a database."""
    return working_on(small().raw(), path)


def client_of(working: Working) -> TestClient:
    """Give a client of the service over a database."""
    return TestClient(create_app(working), base_url=HERE)


def new_id() -> str:
    """Give an id as a page makes one."""
    return str(uuid4())


def ended(client: TestClient, address: str, body: dict[str, Any]) -> dict[str, Any]:
    """Start long work and give how it ended."""
    started = client.post(address, json=body)
    assert started.status_code == 202, started.text
    work: dict[str, Any] = started.json()
    end = time.monotonic() + PATIENCE_S
    while work["state"] == "working" and time.monotonic() < end:
        work = client.get(f"/api/work/{work['id']}?wait_s=1").json()
    return work


def edited(client: TestClient, code: str, column: str, old: Any, new: Any) -> None:
    """Change one cell of an offtake, and wait until the new edition is shown."""
    change = {"table": "offtakes", "key": code, "column": column, "old": old, "new": new}
    body = {"id": new_id(), "changes": [change], "why": "measured again", "by": "Ada"}
    answer = client.post("/api/edits", json=body)
    assert answer.status_code == 200, answer.text
    shown(client, answer.json()["revision"])


def shown(client: TestClient, revision: int) -> None:
    """Wait until a revision is what is shown."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if client.get("/api/catchment").json()["revision"] >= revision:
            return
        time.sleep(0.05)
    raise AssertionError(f"revision {revision} was not shown in time")
