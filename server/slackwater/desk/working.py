"""What does a database show just now? The edition worked out last, while a newer one is on its way.

After an edit the old numbers stay until the new ones are there, so nobody waits for them. A
thread of its own works out the newest data; edits that come meanwhile are worked out together.
"""

from __future__ import annotations

import logging
import time
from dataclasses import dataclass
from threading import Event, Lock, Thread
from typing import Any

from slackwater.desk.cases import case_values
from slackwater.desk.cell_grounds import grounds_in
from slackwater.desk.map_view import view_of
from slackwater.desk.opening import Opened, opened
from slackwater.desk.pinned import Pinned, relief_of
from slackwater.desk.showing import Shown
from slackwater.errors import SlackwaterError, StoreFailed, UsageError
from slackwater.store import Register, Standing, StoredCatchment, open_register

_log = logging.getLogger(__name__)
LOOK_EVERY_S = 1.0
"""How often the database is asked whether another program changed it."""
RESTS_TIMES, RESTS_AT_MOST_S = 3.0, 5.0
"""After an edition, before the next: times as long as that took. Where edits come without a pause,
reading and editing get most of the machine, and what comes meanwhile is worked out together."""
UNFORESEEN = "The new numbers could not be worked out; the log says why."


@dataclass(frozen=True)
class Newest:
    """The data as it stands, understood but not yet evaluated."""

    standing: Standing
    raw: StoredCatchment
    opened: Opened


class Working:
    """A database that is worked on; the present edition and those of saved cases.

    Attributes
    ----------
    register : the database.
    """

    def __init__(self, register: Register) -> None:
        self.register = register
        self._pinned = Pinned(register)
        self._reading = Lock()
        self._stirred, self._ended = Event(), Event()
        self._newest = self._read()
        self._latest = self._newest.standing
        self._present = self._shown_of(self._newest), self._latest
        self._working_out = False
        self._failure: str | None = None
        self._rest_until = 0.0
        self._follower = Thread(target=self._follow, daemon=True, name="newest edition")
        self._follower.start()

    def of(self, case: str = "") -> Shown:
        """Give the edition worked out last, or the data as it stood when a case was saved.

        Raises
        ------
        NotHere
            Where there is no such case.
        """
        shown, _ = self._present
        if not case:
            return shown
        data_version = self.register.data_version_of(case)
        if data_version == shown.view.catchment.data_version:
            return shown
        return self._pinned.of(data_version)

    def case(self, case_id: str) -> dict[str, Any]:
        """Give a case as it was saved.

        Raises
        ------
        NotHere
            Where there is no such case.
        """
        return case_values(self.register, self.register.case(case_id))

    def news(self) -> dict[str, Any]:
        """Say which edition is shown and whether a newer one is on its way; never waits."""
        (shown, standing), failure, latest = self._present, self._failure, self._latest
        return {
            "edition": shown.view.edition,
            "revision": standing.revision,
            "latest_revision": latest.revision,
            "data_version": standing.data_version,
            "changed_at": standing.changed_at,
            "working_out": self._working_out or (failure is None and latest != standing),
            "failure": failure,
        }

    def newest(self) -> Newest:
        """Give the data as it stands, understood; read again only where it changed."""
        with self._reading:
            if self.register.standing() != self._newest.standing:
                self._newest = self._read()
            return self._newest

    def heard(self, newest: Newest) -> None:
        """Take over what an edit just made, and begin to work it out."""
        with self._reading:
            if newest.standing.revision > self._newest.standing.revision:
                self._newest = newest
                self._latest, self._failure = newest.standing, None
        self._stirred.set()

    def close(self) -> None:
        """End the thread that follows the database, and let go of the database."""
        self._ended.set()
        self._stirred.set()
        self._follower.join()
        self.register.close()

    def _read(self) -> Newest:
        """Read and understand what stands."""
        standing, raw = self.register.present()
        if not standing.revision:
            raise UsageError("the database holds no catchment yet; slackwater import fills it")
        return Newest(standing, raw, opened(raw))

    def _shown_of(self, newest: Newest) -> Shown:
        view = view_of(newest.opened, relief_of(self.register))
        revision = newest.standing.revision
        grounds = grounds_in(self.register, revision)
        return Shown(view, working=True, revision=revision, grounds=grounds)

    def _follow(self) -> None:
        """Work out whatever is newer than what is shown, as long as the service runs."""
        tried = self._latest
        while not self._ended.is_set():
            self._stirred.wait(LOOK_EVERY_S)
            self._ended.wait(max(0.0, self._rest_until - time.monotonic()))
            self._stirred.clear()
            try:
                with self._reading:  # else an edit heard of just now could be forgotten
                    self._latest = self.register.standing()
                if self._latest == self._present[1]:
                    self._failure = None
                elif self._latest != tried and not self._ended.is_set():
                    self._catch_up()
            except StoreFailed as failure:  # it may be reached again in a while
                self._failure = str(failure)
            except SlackwaterError as failure:
                tried, self._failure = self._latest, str(failure)
            except Exception:  # the old edition stays shown, whatever happened
                _log.exception("an edition could not be worked out")
                tried, self._failure = self._latest, UNFORESEEN
            finally:
                self._working_out = False

    def _catch_up(self) -> None:
        """Show the newest data."""
        self._working_out, self._failure = True, None
        began = time.monotonic()
        newest = self.newest()
        shown = self._shown_of(newest)
        self._pinned.keep(self._present[0])
        with self._reading:
            self._present = shown, newest.standing
            if newest.standing.revision > self._latest.revision:  # else newer ones were heard of
                self._latest = newest.standing
        took_s = time.monotonic() - began
        self._rest_until = time.monotonic() + min(RESTS_TIMES * took_s, RESTS_AT_MOST_S)


def open_working(url: str) -> Working:
    """Open a database to work on it.

    Raises
    ------
    UsageError
        Where there is none, or it is of another version of this program.
    InputFaults
        Where its data is at fault, which another program must have brought about.
    """
    return Working(open_register(url))
