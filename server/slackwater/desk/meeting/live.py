"""One meeting while it is on: what its doors ask of it, what is kept of it, and how it ends."""

from __future__ import annotations

import hmac
import logging
from collections.abc import Callable, Mapping
from datetime import datetime
from threading import Lock
from typing import Any

from slackwater.desk.meeting.closing import keep_agreed, minutes_left
from slackwater.desk.meeting.now import lead_values, mine_values, now_values
from slackwater.desk.meeting.shown import MeetingShown
from slackwater.desk.secret import digest_of, new_secret
from slackwater.desk.times import read_at, written_at
from slackwater.desk.working import Working
from slackwater.errors import Busy, NotAllowed, StoreFailed
from slackwater.meeting.led import led_of
from slackwater.meeting.phones import Place
from slackwater.meeting.refusals import PhoneGone
from slackwater.meeting.room import Room
from slackwater.store.meetings import Meeting, end_meeting, put_state

_log = logging.getLogger(__name__)
Values = dict[str, Any]


class WrongKey(NotAllowed):
    """What was shown is not the facilitator's key."""

    def __init__(self) -> None:
        super().__init__("this is not the key of this meeting")


class LiveMeeting:
    """A meeting that is on; may be used from many threads.

    Attributes
    ----------
    meeting : as it is kept.
    shown : all that is told of its case, once and for all.
    room : who is there and what the facilitator decided.
    """

    def __init__(
        self,
        working: Working,
        meeting: Meeting,
        shown: MeetingShown,
        clock: Callable[[], datetime],
    ) -> None:
        self.meeting, self.shown = meeting, shown
        self._working, self._clock = working, clock
        state = meeting.state
        led = led_of(state["led"]) if "led" in state else None
        self.room = Room(shown.basis, clock=lambda: written_at(clock()), led=led)
        self._held: Values | None = state.get("wall")
        self._keeping, self._closing = Lock(), Lock()
        self._closed: Values | None = None
        self._unkept = False
        self.has_minutes = False

    @property
    def code(self) -> str:
        """Under which it is joined."""
        return self.meeting.code

    # who asks

    def holds_key(self, key: str) -> bool:
        """Whether that is the facilitator's key."""
        return bool(key) and hmac.compare_digest(digest_of(key), self.meeting.key_digest)

    def require_key(self, key: str) -> None:
        """Refuse whoever has not the facilitator's key; WrongKey."""
        if not self.holds_key(key):
            raise WrongKey

    def phone_digest(self, token: str) -> str:
        """Give what a phone that is in is known by; "" for whoever is not."""
        digest = digest_of(token) if token else ""
        try:
            self.room.number_of(digest)
        except PhoneGone:
            return ""
        return digest

    def number_of(self, token: str) -> int:
        """Give a phone's number; PhoneGone where it is not in."""
        return self.room.number_of(digest_of(token))

    # phones

    def join(self) -> tuple[str, int]:
        """Let a phone in; give its token, told this once, and its number."""
        token = new_secret()
        return token, self.room.join(digest_of(token))

    def set_mine(self, number: int, levels: Mapping[str, int] | None, group: str) -> Values:
        """Take what a phone weighs and for whom it speaks; give what it funds."""
        told = mine_values(self.room.set_mine(number, levels, group), self.shown)
        return {"inside": told["inside"], "weights": told["weights"] or {}}

    def set_places(self, number: int, places: list[Place]) -> None:
        """Take the places a phone marks."""
        self.room.set_places(number, places)

    def mine(self, number: int) -> Values:
        """Give all that a phone said, to itself."""
        return mine_values(self.room.phone(number), self.shown)

    def drop(self, digest: str) -> None:
        """Send a phone away that does not behave."""
        try:
            self.room.drop(self.room.number_of(digest))
        except PhoneGone:
            return
        _log.info("a phone of meeting %s did not behave and was dropped", self.code)

    def is_in(self, number: int) -> bool:
        """Whether a phone is in, and was not dropped."""
        try:
            self.room.phone(number)
        except PhoneGone:
            return False
        return True

    def arrived(self, number: int) -> None:
        """Note that a phone looks; 0 for whoever is none."""
        if number:
            self.room.arrive(number)

    def left(self, number: int) -> None:
        """Note that it looks no more."""
        if number:
            self.room.leave(number)

    # what is shown

    def static(self) -> Values:
        """Give what stays as it is for all its life; of addresses nothing."""
        return dict(self.shown.values)

    def now(self) -> Values:
        """Give the Now of the wall: this moment's, or that of holding."""
        held = self._held
        if held is not None:
            return {**held, "ended": self.room.ended}
        return now_values(self.room.wall(), self.shown)

    def lead(self) -> Values:
        """Give what the facilitator is told."""
        return {
            **lead_values(self.room.lead(), self.shown, minutes=self.has_minutes),
            "wall": self.now(),
        }

    # the facilitator

    def leads(self, change: Callable[[Room], object]) -> Values:
        """Do what the facilitator asks, keep it, and give what they are told then."""
        with self._keeping:
            change(self.room)
            self._freeze()
            self._unkept = True
            self._keep()
        return self.lead()

    def _keep(self) -> None:
        """Write how it stands; the hall waits for no database, it is tried again soon."""
        try:
            with self._working.register.connected.writing(wait=False) as connection:
                goes_on = put_state(connection, self.meeting.id, self.state())
        except (Busy, StoreFailed):
            _log.warning("how meeting %s stands could not be kept just now", self.code)
            return
        self._unkept = False
        if not goes_on:  # another program ended it
            self.room.end()

    def state(self) -> Values:
        """Give what is kept, so that it can be taken up again."""
        best = self.shown.best
        kept = {
            "led": self.room.led.as_dict(),
            "best": [sorted(best.rows), best.benefit_share, best.gap],
        }
        return {**kept, "wall": self._held} if self._held else kept

    def _freeze(self) -> None:
        """Take down what the wall shows where it has just been held; let it go where it was."""
        if not self.room.led.held:
            self._held = None
        elif self._held is None:
            self._held = now_values(self.room.wall(), self.shown)

    # the end

    def is_over(self) -> bool:
        """Whether it has ended; where its hour has come, that is done now."""
        if self._unkept and self._keeping.acquire(blocking=False):
            try:
                self._keep()
            finally:
                self._keeping.release()
        if self.room.ended:
            return True
        if self._clock() < read_at(self.meeting.ends_at):
            return False
        if self._closing.acquire(blocking=False):  # else another thread is at it
            try:
                self._closed = self._closed or self._close_at_its_hour()
            finally:
                self._closing.release()
        return True

    def close(self) -> Values:
        """End it: keep what was agreed as a case, and the minutes; asked again, told again.

        Where that cannot be done it goes on, and the error says why.
        """
        with self._closing:
            if self._closed is None:
                self._closed = self._end(*self._left(self._clock()))
            return self._closed

    def _close_at_its_hour(self) -> Values:
        """End it whatever happens: nobody is there to try again."""
        case_id, minutes = "", Values()
        try:
            case_id, minutes = self._left(read_at(self.meeting.ends_at))
        except Exception:  # the log says what; what was agreed is lost to nobody but the list
            _log.exception("the minutes of meeting %s could not be made", self.code)
        return self._end(case_id, minutes)

    def _left(self, ended_at: datetime) -> tuple[str, Values]:
        """Make what is left of it: id of the case that was agreed, and the minutes."""
        case_id = keep_agreed(self._working, self.meeting, self.room, self.shown)
        minutes = minutes_left(
            self._working, self.meeting, self.room, self.shown, case_id, ended_at
        )
        return case_id, minutes

    def _end(self, case_id: str, minutes: Values) -> Values:
        at = written_at(min(self._clock(), read_at(self.meeting.ends_at)))
        with self._working.register.connected.writing() as connection:
            end_meeting(connection, self.meeting.id, at, minutes, case_id)
        self.has_minutes = bool(minutes)
        self.room.end()
        return {"minutes": self.has_minutes, "case_id": case_id}
