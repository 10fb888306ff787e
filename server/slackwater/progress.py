"""How far has a long piece of work come, and has it been told to stop?"""

from __future__ import annotations

from threading import Event, Lock

from slackwater.errors import Cancelled


class Progress:
    """Counts work done; safe to use from several threads.

    Attributes
    ----------
    total, done : units of work (blocks of cohorts swept), known and finished so far.
    """

    def __init__(self) -> None:
        self.total = 0
        self.done = 0
        self._stop = Event()
        self._lock = Lock()

    def expect(self, units: int) -> None:
        """Add to the work that is known."""
        with self._lock:
            self.total += units

    def advance(self, units: int = 1) -> None:
        """Note work done.

        Raises
        ------
        Cancelled
            Where `cancel` was called; work checks in often enough to stop within 2 s.
        """
        with self._lock:
            self.done += units
        if self._stop.is_set():
            raise Cancelled("stopped as told; nothing was kept")

    @property
    def stopped(self) -> bool:
        """Whether the work was told to stop."""
        return self._stop.is_set()

    def cancel(self) -> None:
        """Tell the work to stop."""
        self._stop.set()
