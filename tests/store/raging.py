"""Workers that act at once over HTTP until they are told to stop or the service is gone."""

from __future__ import annotations

import threading
import time
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Protocol


class Worker(Protocol):
    """One of them; ``told`` is what was answered that nobody should be."""

    told: str


@dataclass
class Raging:
    """Workers with their threads."""

    workers: Sequence[Worker]
    threads: Sequence[threading.Thread]
    stop: threading.Event

    @property
    def kept(self) -> Collection[str]:
        """Ids of all that was acknowledged."""
        raise NotImplementedError

    def rage(self, seconds: float, at_least: int) -> None:
        """Let it go on for a while, and until so much was acknowledged."""
        end, patience = time.monotonic() + seconds, time.monotonic() + 60
        while time.monotonic() < end or len(self.kept) < at_least:
            told = [each.told for each in self.workers if each.told]
            assert not told, told[0]
            assert time.monotonic() < patience, "the service acknowledges nothing"
            time.sleep(0.005)

    def end(self) -> None:
        """Wait until everyone has stopped."""
        self.stop.set()
        for each in self.threads:
            each.join(60)
            assert not each.is_alive()
