"""The service on a port of this machine for a while, and the tools of a GIS that ask it."""

from __future__ import annotations

import os
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

import uvicorn

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.api.serve import address_of, listen
from slackwater.desk.map_view import MapView
from slackwater.desk.showing import Showing
from tests.bench.wide import wide_view

PATIENCE_S = 60.0
WITHOUT_ACCOUNTS = Entry()
SITES = 2_500


@cache
def wide() -> MapView:
    """Give a catchment of 2,500 offtakes, worked out once."""
    return wide_view(SITES // 2)


@contextmanager
def served(showing: Showing, entry: Entry = WITHOUT_ACCOUNTS) -> Iterator[str]:
    """Serve from a thread of its own, which ends with this; gives the address."""
    with listen("127.0.0.1", 0) as listener:
        listener.listen()
        server = uvicorn.Server(
            uvicorn.Config(create_app(showing, entry), log_level="error", lifespan="off")
        )
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        try:
            end = time.monotonic() + PATIENCE_S
            while not server.started and time.monotonic() < end:
                time.sleep(0.02)
            yield address_of(listener)
        finally:
            server.should_exit = True
            thread.join(timeout=PATIENCE_S)


def told_by(*words: str, **more: str) -> str:
    """Run one command of GDAL and give what it prints; ``more`` goes into its environment."""
    done = run(*words, **more)
    assert done.returncode == 0, done.stderr
    return done.stdout


def run(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
    """Run one command of GDAL, which asks no proxy."""
    kept = {name: value for name, value in os.environ.items() if "proxy" not in name.lower()}
    return subprocess.run(
        words, env={**kept, **more}, capture_output=True, text=True, timeout=PATIENCE_S, check=False
    )
