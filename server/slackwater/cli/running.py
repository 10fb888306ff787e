"""How does a command run long work, and write its result down?"""

from __future__ import annotations

import json
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any, TypeVar

import typer

from slackwater.desk.jobs import Job
from slackwater.errors import Cancelled, UsageError
from slackwater.progress import Progress

T = TypeVar("T")
PATIENCE_S = 1.0  # a compiler or solver at work does not hear; the process then ends under it


def with_progress(work: Callable[[Progress], T]) -> T:
    """Run work as a job, show how far it is, stop it on an interrupt."""
    job = Job(work)

    stopped: list[float] = []

    def stop(_signal: int, _frame: FrameType | None) -> None:
        job.cancel()
        stopped.append(time.monotonic())

    before = {sign: signal.signal(sign, stop) for sign in (signal.SIGINT, signal.SIGTERM)}
    shown = sys.stderr.isatty()
    sys.stdout.flush()
    stdout = os.dup(1)
    os.dup2(2, 1)  # a solver may speak its mind; results alone go to the standard output
    try:
        while not job.wait(0.1):
            if stopped and time.monotonic() - stopped[0] > PATIENCE_S:
                raise Cancelled("stopped as told; nothing was kept")
            if shown and job.progress.total:
                share = job.progress.done / job.progress.total
                typer.echo(f"\r{share:4.0%} of {job.progress.total} sweeps", nl=False, err=True)
    finally:
        os.dup2(stdout, 1)
        os.close(stdout)
        if shown:
            typer.echo("\r\033[K", nl=False, err=True)
        for sign, handler in before.items():
            signal.signal(sign, handler)
    return job.result()


def write_json(file: Path, values: dict[str, Any]) -> None:
    """Write whole or not at all."""
    text = json.dumps(values, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    if str(file) == "-":
        typer.echo(text, nl=False)
        return
    if not file.parent.is_dir():
        raise UsageError(f"no folder {file.parent} to write {file.name} into")
    handle, temporary = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    with os.fdopen(handle, "w", encoding="utf-8") as out:
        out.write(text)
    os.chmod(temporary, 0o644)
    os.replace(temporary, file)
