"""When was somebody last here? Written down at most once a minute, and never waited for."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from datetime import datetime, timedelta
from threading import Lock

from sqlalchemy import Connection

from slackwater.desk.times import read_at, written_at
from slackwater.errors import Busy, StoreFailed
from slackwater.store.connected import Connected

EVERY = timedelta(minutes=1)
MOST = 1_000


class LastSeen:
    """What was written down lately, so that many requests at once write once."""

    def __init__(self, connected: Connected) -> None:
        self._connected = connected
        self._written: OrderedDict[str, datetime] = OrderedDict()
        self._turn = Lock()

    def tell(
        self, what: str, seen_at: str, now: datetime, put: Callable[[Connection, str], None]
    ) -> None:
        """Write down that something was used, unless that was done within the minute.

        Parameters
        ----------
        what : stands for it among all that is told here.
        seen_at : what the database says of it; "" for never.
        put : writes the time down.
        """
        if not self._is_due(what, seen_at, now):
            return
        try:
            with self._connected.writing(wait=False) as connection:
                put(connection, written_at(now))
        except (Busy, StoreFailed):  # the next minute will do: nobody waits or fails for this
            return

    def _is_due(self, what: str, seen_at: str, now: datetime) -> bool:
        with self._turn:
            known = self._written.get(what)
            last = read_at(seen_at) if seen_at else None
            if any(time is not None and now - time < EVERY for time in (known, last)):
                return False
            self._written[what] = now
            self._written.move_to_end(what)
            while len(self._written) > MOST:
                self._written.popitem(last=False)
            return True
