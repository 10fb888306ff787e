"""Read a file that someone sent in a process of its own, with bounded memory and time.

Whatever such a file does to the libraries that read it, the service goes on.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import slackwater
from slackwater.desk.importing import Present, read_given
from slackwater.errors import Finding, InputFaults, UsageError
from slackwater.progress import Progress
from slackwater.store import Given

MOST_MEMORY_BYTES = 1_500_000_000
MOST_WRITTEN_BYTES = 500_000_000
MOST_FILE_BYTES = 256_000_000
LONGEST_S = 120
READER = ("-m", __name__)
"""How the other process is started: this module, by name."""

LOOK_EVERY_S = 0.05
ALONE = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}


@dataclass(frozen=True)
class ReadApart:
    """What came of reading: the catchment, or every fault; and what is odd."""

    given: Given | None
    faults: tuple[Finding, ...]
    warnings: tuple[Finding, ...]
    data_version: str = ""


def read_apart(path: Path, answer: Path, present: Present, progress: Progress) -> ReadApart:
    """Read a catchment in another process and give what it left at ``answer``.

    Parameters
    ----------
    present : whose settings hold on where the file brings none.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop; the other process ends too.
    """
    with tempfile.TemporaryFile() as told_to_it:
        pickle.dump(present, told_to_it)
        told_to_it.seek(0)
        child = subprocess.Popen(  # noqa: S603 - our own program, paths of ours
            [sys.executable, *READER, str(path), str(answer)],
            env=_environment(),
            stdin=told_to_it,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=path.parent,
        )
    end = time.monotonic() + LONGEST_S
    try:
        while child.poll() is None and time.monotonic() < end:
            progress.advance(0)
            time.sleep(LOOK_EVERY_S)
    finally:
        if child.poll() is None:
            child.kill()
        child.wait()
    if child.returncode or not answer.is_file():
        return ReadApart(None, (_gave_up(),), ())
    return read_again(answer)


def read_again(answer: Path) -> ReadApart:
    """Give once more what `read_apart` read."""
    with answer.open("rb") as file:
        told = pickle.load(file)  # noqa: S301 - our own process wrote it, in a folder of ours
    assert isinstance(told, ReadApart)
    return told


def _environment() -> Mapping[str, str]:
    """Give the other process what it needs to find this program, and little else."""
    home = str(Path(slackwater.__file__).parents[1])
    kept = {name: os.environ[name] for name in ("PATH", "LANG", "TMPDIR") if name in os.environ}
    return {**kept, **ALONE, "PYTHONPATH": home}


def _gave_up() -> Finding:
    remedy = (
        f"it cannot be read within {MOST_MEMORY_BYTES / 1e9:g} GB of memory and {LONGEST_S} s, or "
        "is damaged; save it again, or use slackwater import"
    )
    return Finding("catchment", None, "", "", "", "unreadable", remedy)


def _bound() -> None:
    """Let the system end this process before it takes too much, and leave no image of it."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return
    for what, most in (
        (resource.RLIMIT_DATA, MOST_MEMORY_BYTES),
        (resource.RLIMIT_FSIZE, MOST_WRITTEN_BYTES),
        (resource.RLIMIT_CPU, LONGEST_S),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(what, (most, most))


def _read(path: Path, present: Present) -> ReadApart:
    try:
        given, checked = read_given(path, limit_bytes=MOST_FILE_BYTES, present=present)
    except InputFaults as refused:
        return ReadApart(None, refused.faults, refused.warnings)
    except UsageError as refused:
        told = Finding("catchment", None, "", "", "", "unreadable", str(refused))
        return ReadApart(None, (told,), ())
    except (MemoryError, RecursionError):
        return ReadApart(None, (_gave_up(),), ())
    return ReadApart(given, (), checked.warnings, checked.catchment.data_version)


def main() -> None:
    """Read the first path named and leave what came of it at the second."""
    # Run by name, this module is __main__; what it leaves must be known by its own name.
    from slackwater.desk import reading_apart  # noqa: PLC0415, PLW0406

    reading_apart._bound()
    path, answer = map(Path, sys.argv[1:])
    present = pickle.load(sys.stdin.buffer)  # noqa: S301 - the service itself wrote it
    told = reading_apart._read(path, present)
    with answer.open("wb") as file:
        pickle.dump(told, file, pickle.HIGHEST_PROTOCOL)


if __name__ == "__main__":
    main()
