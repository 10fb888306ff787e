"""50 readers and 10 writers for a minute at the demo's database: how much longer does a read take?

The service runs as `slackwater serve` runs it, in a process of its own, with accounts; everybody
has an account and a token. Held to: no error, no lost edit, reads p95 at most 20 times the median
of the same reads with nobody else there.
"""

from __future__ import annotations

import asyncio
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import httpx

from slackwater.desk.accounts import Accounts
from slackwater.desk.importing import import_catchment
from slackwater.desk.working import open_working
from tests.bench.crowd import Crowd, Noted, lost, share, together

DEMO = Path(__file__).resolve().parents[2] / "demo_data" / "lantern.gpkg"
READERS, WRITERS, LASTS_S = 50, 10, 60.0
ALONE_READS = 120
MOST_TIMES = 20.0


@contextmanager
def served(file: Path) -> Iterator[str]:
    """Serve a database in a process of its own; gives the address."""
    words = [sys.executable, "-c", "from slackwater.cli import main; main()", "serve",
             "--database", str(file), "--accounts", "--port", "0"]  # fmt: skip
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            yield process.stdout.readline().split()[-1]
        finally:
            process.terminate()


def tokens_of(file: Path) -> tuple[list[str], list[str]]:
    """Add everybody; gives the tokens of readers and of writers."""
    with closing(open_working(str(file))) as working:
        accounts = Accounts(working.register)

        def made(name: str, role: str, scope: str) -> str:
            accounts.add_person(name, [role], None, "bench")
            return str(accounts.make_token(name, "bench", scope, 1)["secret"])

        readers = [made(f"reader {each}", "scientist", "read") for each in range(READERS)]
        return readers, [made(f"writer {each}", "lead", "all") for each in range(WRITERS)]


def run() -> bool:
    """Measure, print what was found, and say whether it holds."""
    print(f"{READERS} readers, {WRITERS} writers, {LASTS_S:.0f} s, the demo's database, SQLite")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "demo.sqlite"
        import_catchment(DEMO, str(file))
        readers, writers = tokens_of(file)
        with served(file) as address:
            headers = {"Authorization": f"Bearer {readers[0]}"}
            told = httpx.get(f"{address}/api/offtakes", headers=headers, timeout=60).json()
            codes = told["offtake_id"]
            alone = Noted()
            asyncio.run(together(Crowd(address, codes, Noted()), readers[:1], [], 6.0, 0.05))
            asyncio.run(
                together(Crowd(address, codes, alone), readers[:1], [], ALONE_READS * 0.05, 0.05)
            )
            loads, noted = [os.getloadavg()[0]], Noted()
            crowd = Crowd(address, codes, noted)
            began = time.monotonic()
            asyncio.run(together(crowd, readers, writers, LASTS_S))
            took_s = time.monotonic() - began
            loads.append(os.getloadavg()[0])
            gone = lost(address, writers[0], noted)
    return _told(alone, noted, gone, took_s, loads)


def _told(alone: Noted, noted: Noted, gone: list[str], took_s: float, loads: list[float]) -> bool:
    median, reads = statistics.median(alone.all_reads), noted.all_reads
    times = share(reads, 0.95) / median
    print(f"  Alone: {len(alone.all_reads)} reads, median {_ms(median)}")
    for kind, listed in sorted(noted.reads.items()):
        before = statistics.median(alone.reads.get(kind, [0.0]))
        then, most = statistics.median(listed), share(sorted(listed), 0.95)
        print(f"    {kind:10} alone {_ms(before)}, then median {_ms(then)}, p95 {_ms(most)}")
    then, most = statistics.median(reads), share(reads, 0.95)
    print(f"  Together: {len(reads)} reads in {took_s:.0f} s, median {_ms(then)}, p95 {_ms(most)}")
    kept, edit_s = len(noted.acknowledged), statistics.median(noted.edit_s)
    print(f"  Edits: {kept} kept, {noted.conflicts} told who was first, median {_ms(edit_s)}")
    for each in (noted.wrong + gone)[:5]:
        print(f"  WRONG: {each}")
    held = "held" if times <= MOST_TIMES else "NOT held"
    print(f"  Reads p95 {times:.1f} times the median alone (at most {MOST_TIMES:.0f}: {held})")
    print(f"  {len(noted.wrong)} errors, {len(gone)} edits lost")
    print(f"  Load average before {loads[0]:.2f}, after {loads[-1]:.2f}")
    return times <= MOST_TIMES and not noted.wrong and not gone


def _ms(seconds: float) -> str:
    return f"{1000 * seconds:.1f} ms"


if __name__ == "__main__":
    raise SystemExit(0 if run() else 1)
