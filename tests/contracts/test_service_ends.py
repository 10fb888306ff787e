"""When the service ends in the middle of long work, the work is stopped; nothing is a failure."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path
from threading import Event

import pytest

from slackwater.desk.long_work import LongWorks, State
from slackwater.errors import Busy
from slackwater.progress import Progress

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo_data" / "lantern.gpkg"
PROGRAM = """
import sys, time
from starlette.testclient import TestClient
from slackwater.api.app import create_app
from slackwater.desk.map_view import open_map_view
from slackwater.desk.showing import AsRead
app = create_app(AsRead(open_map_view(sys.argv[1])))
with TestClient(app, base_url="http://127.0.0.1") as client:
    for kind in ("how-sure", "curve", "best-set"):
        print(client.post("/api/" + kind, json={"budget": 1.9e6}).status_code, end=" ")
    time.sleep(1)
"""
WAIT_S = 120


def test_closed_work_is_stopped_and_nothing_more_begins() -> None:
    """Whatever is under way has ended when closing returns; new work is refused."""
    works, begun = LongWorks(), Event()

    def work(progress: Progress, _: object) -> dict[str, object]:
        begun.set()
        while True:
            time.sleep(0.01)
            progress.advance(0)

    started = works.start("how-sure", work)
    assert begun.wait(5)
    works.close()
    assert started.state is State.STOPPED
    with pytest.raises(Busy):
        works.start("how-sure", work)


def test_a_process_that_ends_in_the_midst_of_work_says_nothing_of_failures() -> None:
    """Trials, curve and best set are under way when the service and its process end."""
    ended = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", PROGRAM, str(DEMO)],
        capture_output=True, text=True, cwd=ROOT, timeout=WAIT_S, check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT / "server")},
    )  # fmt: skip
    assert ended.stdout == "202 202 202 "
    assert ended.stderr == ""
