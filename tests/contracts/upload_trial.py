"""Send hostile files to the service in a process that may not grow, and write down what came of it.

``python -m tests.contracts.upload_trial FOLDER FILE...``: a line of JSON a file; see `Trial`.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from slackwater.desk.reading_apart import MOST_MEMORY_BYTES
from tests.contracts.at_work import Bench, bench
from tests.contracts.hostile_files import REFUSED

MORE_BYTES = 500_000_000
"""What this process may take beside what it holds before the first file."""
KILOBYTE = 1024


@dataclass(frozen=True)
class Trial:
    """What came of one file.

    Attributes
    ----------
    grown_bytes : by which the service's largest size had grown.
    reader_bytes : largest size so far of the processes in which files are read.
    unmoved : whether revision, data version and history were what they had been.
    """

    file: str
    status: int
    state: str
    faults: list[dict[str, Any]]
    seconds: float
    grown_bytes: int
    reader_bytes: int
    unmoved: bool


def send(at: Bench, path: Path) -> tuple[int, dict[str, Any]]:
    """Send a file; give the status and how the work ended."""
    with path.open("rb") as file:
        sent = at.client.post("/api/uploads", params={"name": path.name}, content=file)
    work: dict[str, Any] = sent.json()
    while work.get("state") == "working":
        work = at.get(f"work/{work['id']}", wait_s=5)
    return sent.status_code, work


def tried(at: Bench, path: Path) -> Trial:
    """Send one file and look at what it did."""
    before, size, begun = at.standing(), _size(resource.RUSAGE_SELF), time.monotonic()
    status, work = send(at, path)
    return Trial(
        file=path.name,
        status=status,
        state=work.get("state", ""),
        faults=(work.get("answer") or {}).get("faults", []),
        seconds=time.monotonic() - begun,
        grown_bytes=_size(resource.RUSAGE_SELF) - size,
        reader_bytes=_size(resource.RUSAGE_CHILDREN),
        unmoved=at.standing() == before,
    )


def trials(folder: Path) -> list[Trial]:
    """Make every hostile file, and run this module in a process of its own."""
    files = [maker(folder) for maker, _ in REFUSED]
    ran = subprocess.run(
        [sys.executable, "-m", "tests.contracts.upload_trial", str(folder), *map(str, files)],
        stdout=subprocess.PIPE,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    return [Trial(**json.loads(line)) for line in ran.stdout.splitlines()]


def _size(who: int) -> int:
    return resource.getrusage(who).ru_maxrss * KILOBYTE


def _held() -> int:
    """Bytes of memory this process may write to."""
    lines = Path("/proc/self/status").read_text().splitlines()
    (told,) = [line for line in lines if line.startswith("VmData:")]
    return int(told.split()[1]) * KILOBYTE


def main() -> None:
    """Send every file, print its trial."""
    folder, *files = map(Path, sys.argv[1:])
    with bench(folder) as at, at.client:
        at.get("offtakes")
        most = _held() + MORE_BYTES
        resource.setrlimit(resource.RLIMIT_DATA, (most, max(most, 2 * MOST_MEMORY_BYTES)))
        for path in files:
            print(json.dumps(asdict(tried(at, path))), flush=True)


if __name__ == "__main__":
    main()
