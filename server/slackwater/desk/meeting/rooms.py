"""Which meetings are on here? Opened on a shared case, found by their code, taken up again.

What is kept of one suffices to go on after a restart: phones join again by themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from threading import Lock
from typing import Any
from uuid import uuid4

from slackwater.desk.meeting.live import LiveMeeting
from slackwater.desk.meeting.money_here import SetHere
from slackwater.desk.meeting.shown import Opening, meeting_shown
from slackwater.desk.paper.documents import documents_of
from slackwater.desk.secret import digest_of, new_secret
from slackwater.desk.times import read_at, utc_now, written_at
from slackwater.desk.working import Working
from slackwater.errors import Busy, NotHere, UsageError
from slackwater.meeting.codes import new_code, tidied_code
from slackwater.store.meetings import (
    Meeting,
    add_meeting,
    heads_of_meetings,
    meeting_of_code,
    open_code_of_case,
    put_key,
)

MOST_HOURS, USUAL_HOURS = 24, 6
MOST_LIVE = 8
MOST_LISTED = 200
MINUTES_FOR = timedelta(days=30)
PATIENCE_S = 2.0
"""How long one waits where a meeting is just being taken up again."""


class NoMeeting(NotHere):
    """No meeting of this code is on.

    Attributes
    ----------
    ended : whether there was one, of late.
    minutes : whether its minutes can be read.
    """

    def __init__(self, *, ended: bool = False, minutes: bool = False) -> None:
        self.ended, self.minutes = ended, minutes
        super().__init__(
            "this meeting has ended" if ended else "there is no meeting of this code just now"
        )


@dataclass(frozen=True)
class OpenedMeeting:
    """A meeting just opened; ``key`` is told this once."""

    code: str
    key: str
    ends_at: str


class Rooms:
    """The meetings of one database; may be used from many threads."""

    def __init__(self, working: Working, clock: Callable[[], datetime] = utc_now) -> None:
        self._working, self._clock = working, clock
        self._connected = working.register.connected
        self._live: dict[str, LiveMeeting] = {}
        self._taking_up = Lock()

    def open(self, case_id: str, hours: int, by: str) -> OpenedMeeting:
        """Open a meeting on a shared case.

        Raises
        ------
        NotHere
            Where there is no such case.
        UsageError
            Where it is not shared, or the hours will not do.
        Busy
            Where as many meetings are on as there can be.
        """
        if not 1 <= hours <= MOST_HOURS:
            raise UsageError(f"a meeting is open for 1 to {MOST_HOURS} hours, not {hours}")
        if not self._working.register.shared_at_of(case_id):
            raise UsageError("only a shared case can be looked at in a meeting; share it first")
        with self._taking_up:
            self._require_place()
            now, key = self._clock(), new_secret()
            meeting = Meeting(
                id=str(uuid4()),
                code=self._unused_code(),
                case_id=case_id,
                key_digest=digest_of(key),
                opened_at=written_at(now),
                by=by,
                ends_at=written_at(now + timedelta(hours=hours)),
            )
            live = self._made_live(meeting)
            with self._connected.writing() as connection:
                add_meeting(connection, replace(meeting, state=live.state()))
            self._live[meeting.code] = live
        return OpenedMeeting(meeting.code, key, meeting.ends_at)

    def take_up(self, case_id: str) -> OpenedMeeting | None:
        """Go on with a case's meeting that nobody ended, under a new key; None without one."""
        with self._connected.reading() as connection:
            code = open_code_of_case(connection, case_id, written_at(self._clock()))
            meeting = meeting_of_code(connection, code) if code else None
        if meeting is None:
            return None
        key = new_secret()
        with self._connected.writing() as connection:
            put_key(connection, meeting.id, digest_of(key))
        self._live.pop(code, None)
        self.of(code)
        return OpenedMeeting(code, key, meeting.ends_at)

    def here(self, code: str) -> LiveMeeting | None:
        """Give a meeting that is in memory, without asking the database; None else."""
        try:
            return self._live.get(tidied_code(code))
        except UsageError:
            return None

    def of(self, code: str) -> LiveMeeting:
        """Give a meeting that is on by its code, however it was typed.

        Raises
        ------
        NoMeeting
            Where none is.
        Busy
            Where it is just being taken up again after a restart.
        """
        live = self.here(code)
        if live is not None and not live.is_over():
            return live
        meeting = self._kept(code)
        if live is not None or meeting.ended_at:
            self._live.pop(meeting.code, None)
            raise NoMeeting(ended=True, minutes=bool(meeting.minutes))
        live = self._again(meeting)
        if live.is_over():
            raise NoMeeting(ended=True, minutes=live.has_minutes)
        return live

    def minutes(self, code: str) -> Mapping[str, Any]:
        """Give the minutes of a meeting that has ended in the last 30 days; NoMeeting else."""
        try:
            self.of(code)
        except NoMeeting as none:
            if not none.minutes:
                raise
        else:
            raise NoMeeting
        return self._kept(code).minutes

    def end(self, code: str) -> None:
        """End a meeting, its minutes made; NoMeeting where none is on."""
        self.of(code).close()

    def listed(self) -> dict[str, Any]:
        """Give the newest meetings without their keys, the newest first."""
        names = {case.id: case.name for case in self._working.register.cases()}
        now = written_at(self._clock())
        with self._connected.reading() as connection:
            heads = heads_of_meetings(connection, MOST_LISTED)
        return {
            "meetings": [
                {
                    "code": each.code,
                    "case_id": each.case_id,
                    "case_name": names.get(each.case_id, ""),
                    "opened_at": each.opened_at,
                    "by": each.by,
                    "ends_at": each.ends_at,
                    "ended_at": each.ended_at or None,
                    "live": not each.ended_at and each.ends_at > now,
                    "minutes": each.minutes or (not each.ended_at and each.ends_at <= now),
                }
                for each in heads
            ]
        }

    def _kept(self, code: str) -> Meeting:
        """Give a meeting as it is kept; NoMeeting where there is none, or not any more."""
        try:
            tidied = tidied_code(code)
        except UsageError:
            raise NoMeeting from None
        with self._connected.reading() as connection:
            meeting = meeting_of_code(connection, tidied)
        if meeting is None or self._is_past(meeting):
            raise NoMeeting
        return meeting

    def _is_past(self, meeting: Meeting) -> bool:
        over = meeting.ended_at or meeting.ends_at
        return read_at(over) + MINUTES_FOR <= self._clock()

    def _again(self, meeting: Meeting) -> LiveMeeting:
        """Take a meeting up as it was kept; whoever comes meanwhile is told to come again."""
        if not self._taking_up.acquire(timeout=PATIENCE_S):
            raise Busy("this meeting is being taken up again; try in a moment")
        try:
            found = self._live.get(meeting.code)
            if found is None:
                found = self._live[meeting.code] = self._made_live(meeting)
            return found
        finally:
            self._taking_up.release()

    def _made_live(self, meeting: Meeting) -> LiveMeeting:
        documents = documents_of(self._working, meeting.case_id)
        opening = Opening(meeting.code, meeting.opened_at, meeting.ends_at)
        best = meeting.state.get("best")  # of one taken up again: what the hall saw before
        known = SetHere(frozenset(best[0]), *best[1:]) if best else None
        shown = meeting_shown(documents.case, opening, best=known)
        return LiveMeeting(self._working, meeting, shown, self._clock)

    def _require_place(self) -> None:
        """Let go of those that are over; Busy where no further one can be opened."""
        for code, live in list(self._live.items()):
            if live.is_over():
                self._live.pop(code, None)
        now = written_at(self._clock())
        with self._connected.reading() as connection:
            heads = heads_of_meetings(connection, MOST_LISTED)
        if sum(not each.ended_at and each.ends_at > now for each in heads) >= MOST_LIVE:
            raise Busy(f"{MOST_LIVE} meetings are on already; end one first")

    def _unused_code(self) -> str:
        while True:
            code = new_code()
            with self._connected.reading() as connection:
                if meeting_of_code(connection, code) is None:
                    return code
