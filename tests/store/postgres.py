"""A real PostgreSQL with PostGIS from Debian's packages, in a folder of its own, for the tests.

``with cluster() as server`` starts one; ``server.stop_now()`` stops it as a power cut would
(PostgreSQL's "immediate") and ``server.start()`` starts it again on the same data.
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from uuid import uuid4

INSTALLED = Path("/usr/lib/postgresql")
WAIT_S = 60
SETTINGS = {
    "listen_addresses": "127.0.0.1",
    "unix_socket_directories": "",
    "fsync": "on",
    "max_connections": "60",
    "shared_buffers": "16MB",
    "lc_messages": "C",
    "logging_collector": "off",
}


def programs() -> Path:
    """Give the folder of the server's programs; fail plainly where there is none."""
    found = sorted(INSTALLED.glob("*/bin/initdb"))
    assert found, "these tests need PostgreSQL with PostGIS: apt-get install postgresql-postgis"
    return found[-1].parent


def as_server(*words: str | Path) -> list[str]:
    """Give a command line that root runs as the user postgres: the server refuses root."""
    plain = list(map(str, words))
    return ["runuser", "-u", "postgres", "--", *plain] if os.getuid() == 0 else plain


@dataclass
class Server:
    """One server; ``pid`` is that of its first process while it runs."""

    folder: Path
    port: int
    pid: int = 0
    process: subprocess.Popen[bytes] | None = field(default=None, repr=False)

    @property
    def url(self) -> str:
        """Address of its first database."""
        return self.url_of("postgres")

    def url_of(self, database: str) -> str:
        """Address of a database, for Slackwater."""
        return f"postgresql://postgres@127.0.0.1:{self.port}/{database}"

    def start(self) -> None:
        """Start it and wait until it answers."""
        log = (self.folder / "log").open("ab")
        words = as_server(programs() / "postgres", "-D", self.folder / "data", "-p", str(self.port))
        with log:
            self.process = subprocess.Popen(words, stdout=log, stderr=log, cwd="/")
        until = time.monotonic() + WAIT_S
        while not self._answers():
            assert self.process.poll() is None, (self.folder / "log").read_text()[-2000:]
            assert time.monotonic() < until, (self.folder / "log").read_text()[-2000:]
            time.sleep(0.05)
        # runuser stands between us and the server: its own file names its process.
        self.pid = int((self.folder / "data" / "postmaster.pid").read_text().split()[0])

    def stop(self, sign: signal.Signals = signal.SIGINT) -> None:
        """Stop it: open connections are broken off (fast)."""
        if self.process is None:
            return
        os.kill(self.pid, sign)
        self.process.wait(WAIT_S)
        self.process = None

    def stop_now(self) -> None:
        """Stop it at once, without tidying; the next start recovers from its log."""
        self.stop(signal.SIGQUIT)

    def new_database(self) -> str:
        """Make an empty database; give its address."""
        name = f"t{uuid4().hex}"
        self.run(f"CREATE DATABASE {name}")
        return self.url_of(name)

    def run(self, statement: str, database: str = "postgres") -> str:
        """Run a statement as the administrator; give what it prints."""
        psql = as_server(programs() / "psql", "-qXtA", "-h", "127.0.0.1", "-p", str(self.port))
        words = [*psql, "-U", "postgres", "-d", database, "-c", statement]
        done = subprocess.run(words, check=True, cwd="/", capture_output=True, text=True)
        return done.stdout

    def _answers(self) -> bool:
        words = [programs() / "pg_isready", "-q", "-h", "127.0.0.1", "-p", str(self.port)]
        return subprocess.run(words, check=False).returncode == 0


@contextmanager
def cluster() -> Iterator[Server]:
    """Make a server in a folder of its own, run it, and stop it by its own process id."""
    # Not in pytest's folder: the user postgres could not reach it.
    home = Path(tempfile.mkdtemp(prefix="slackwater-postgres-"))
    home.chmod(0o755)
    if os.getuid() == 0:
        shutil.chown(home, "postgres")
    server = Server(home, _free_port())
    try:
        _make_data(home / "data")
        server.start()
        yield server
    finally:
        server.stop_now()  # nobody needs its data any more
        shutil.rmtree(home)


def _make_data(data: Path) -> None:
    words = [programs() / "initdb", "-D", data, "-U", "postgres", "-A", "trust"]
    words += ["-E", "UTF8", "--locale=C", "--no-instructions"]
    subprocess.run(as_server(*words), check=True, stdout=subprocess.DEVNULL, cwd="/")
    lines = "".join(f"{name} = '{value}'\n" for name, value in SETTINGS.items())
    with (data / "postgresql.conf").open("a") as file:
        file.write(lines)


def _free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port
