"""Work that takes longer than a person waits: started, looked at, stopped, its answer fetched."""

from __future__ import annotations

import logging
import secrets
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from threading import Condition, Lock
from typing import Any

from slackwater.desk.jobs import Job
from slackwater.errors import Busy, Cancelled, SlackwaterError
from slackwater.progress import Progress

_log = logging.getLogger(__name__)
Values = dict[str, Any]
Tell = Callable[[Values], None]
Work = Callable[[Progress, Tell], Values]
REMEMBERED = 64
AT_ONCE = 4
LET_END_S = 5.0
"""How long work that was told to stop is waited for when the service ends."""


class State(StrEnum):
    """How a piece of work stands."""

    WORKING = "working"
    DONE = "done"
    STOPPED = "stopped"
    FAILED = "failed"


@dataclass
class LongWork:
    """One piece of work with an id that nobody guesses.

    Attributes
    ----------
    answer : the latest answer, a first one while the work goes on; None before that.
    failure : why there is none, where the work failed.
    """

    kind: str
    id: str = field(default_factory=lambda: secrets.token_urlsafe(12))
    answer: Values | None = None
    failure: SlackwaterError | None = None
    state: State = State.WORKING
    _news: Condition = field(default_factory=Condition, repr=False)
    _told: int = field(default=0, repr=False)
    _heard: int = field(default=0, repr=False)
    _job: Job[None] | None = field(default=None, repr=False)

    def begin(self, work: Work) -> None:
        """Start working."""

        def run(progress: Progress) -> None:
            try:
                answer = work(progress, self._tell)
            except Cancelled:
                self._end(State.STOPPED)
            except SlackwaterError as failure:
                self.failure = failure
                self._end(State.FAILED)
            except Exception:
                _log.exception("work failed in a way nobody foresaw")
                self._end(State.FAILED)
            else:
                self.answer = answer
                self._end(State.DONE)

        self._job = Job(run)

    @property
    def done_of_total(self) -> tuple[int, int]:
        """Units of work done, and known so far."""
        progress = self._job.progress if self._job else Progress()
        return progress.done, progress.total

    def let_end(self, seconds: float) -> None:
        """Wait at most so long for the end."""
        if self._job:
            self._job.wait(seconds)

    def stop(self) -> None:
        """Tell the work to stop; it does so within 2 s."""
        if self._job and self.state is State.WORKING:
            self._job.cancel()

    def wait(self, seconds: float) -> None:
        """Wait at most so long for an answer that was not there at the last wait, or the end."""
        with self._news:
            self._news.wait_for(
                lambda: self.state is not State.WORKING or self._told > self._heard, seconds
            )
            self._heard = self._told

    def _tell(self, answer: Values) -> None:
        with self._news:
            self.answer = answer
            self._told += 1
            self._news.notify_all()

    def _end(self, state: State) -> None:
        with self._news:
            self.state = state
            self._news.notify_all()


class LongWorks:
    """The work under way and lately ended; the oldest that has ended is forgotten first.

    Whoever ends the service closes it: work that went on past the end would find no threads to
    work with, and log that as a failure.
    """

    def __init__(self, at_once: int = AT_ONCE) -> None:
        self._at_once = at_once
        self._known: OrderedDict[str, LongWork] = OrderedDict()
        self._lock = Lock()
        self._closed = False

    def start(self, kind: str, work: Work) -> LongWork:
        """Start a piece of work.

        Raises
        ------
        Busy
            Where as much is under way as may be at once, or the service is ending.
        """
        with self._lock:
            if self._closed:
                raise Busy("the service is ending; ask again once it is back")
            if sum(w.state is State.WORKING for w in self._known.values()) >= self._at_once:
                raise Busy("as much is being worked out as can be at once; stop something first")
            started = LongWork(kind)
            started.begin(work)  # first: what could not begin is not under way
            self._known[started.id] = started
            ended = [i for i, w in self._known.items() if w.state is not State.WORKING]
            for old in ended[: max(0, len(self._known) - REMEMBERED)]:
                del self._known[old]
        return started

    def close(self) -> None:
        """Stop everything, wait for its end within bounds, and begin nothing more."""
        with self._lock:
            self._closed = True
            going = [work for work in self._known.values() if work.state is State.WORKING]
        for work in going:
            work.stop()
        end = time.monotonic() + LET_END_S
        for work in going:
            work.let_end(max(0.0, end - time.monotonic()))

    def find(self, work_id: str) -> LongWork | None:
        """Give work by its id; None where there is none of it any more."""
        return self._known.get(work_id)
