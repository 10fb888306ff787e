"""The service in a process of its own, over a database, to be killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
ORDINARY = ("-c", "from slackwater.cli import main; main()")
TOO_SOON = ("-m", "tests.store.too_soon")
WAIT_S = 120


@dataclass
class Served:
    """A running service; ``address`` is where it answers."""

    process: subprocess.Popen[str]
    address: str

    def kill(self) -> None:
        """End it without a word, as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait(WAIT_S)
        assert self.process.stdout
        self.process.stdout.close()


Serve = Callable[..., Served]
"""Starts a service; what it is given besides goes to `serve`."""


def serve(url: str, log: Path, program: tuple[str, ...] = ORDINARY) -> Served:
    """Start `slackwater serve --database` and wait for its address."""
    with log.open("ab") as errors:
        process = subprocess.Popen(
            [sys.executable, *program, "serve", "--database", url, "--port", "0"],
            stdout=subprocess.PIPE,
            stderr=errors,
            text=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": f"{ROOT / 'server'}{os.pathsep}{ROOT}"},
        )
    try:
        return Served(process, _address(process, log))
    except BaseException:
        process.kill()
        raise


def _address(process: subprocess.Popen[str], log: Path) -> str:
    assert process.stdout
    end = time.monotonic() + WAIT_S
    while time.monotonic() < end:
        line = process.stdout.readline()
        if "http://" in line:
            return "http://" + line.split("http://")[1].strip()
        assert line or process.poll() is None, log.read_text()[-2000:]
    raise AssertionError("the service did not come up")
