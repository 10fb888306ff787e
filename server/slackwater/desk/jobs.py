"""Long work with progress that counts work done, stopped when told."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event, Thread
from typing import Generic, TypeVar

from slackwater.progress import Progress

T = TypeVar("T")


class Job(Generic[T]):
    """One piece of work in a thread of its own, started at once.

    Attributes
    ----------
    progress : units of work done and known; see `Progress`.
    """

    def __init__(self, work: Callable[[Progress], T]) -> None:
        self.progress = Progress()
        self._finished = Event()
        self._outcome: list[T] = []
        self._failure: list[BaseException] = []
        self._thread = Thread(target=self._run, args=(work,), daemon=True)
        self._thread.start()

    def _run(self, work: Callable[[Progress], T]) -> None:
        try:
            self._outcome.append(work(self.progress))
        except BaseException as failure:  # handed to whoever asks for the result
            self._failure.append(failure)
        finally:
            self._finished.set()

    def wait(self, seconds: float) -> bool:
        """Wait at most so long; give whether the work has ended."""
        return self._finished.wait(seconds)

    def cancel(self) -> None:
        """Tell the work to stop; `result` then raises Cancelled."""
        self.progress.cancel()

    def result(self) -> T:
        """Wait for the end and give the result, or raise what the work raised."""
        self._finished.wait()
        if self._failure:
            raise self._failure[0]
        return self._outcome[0]
