"""How much may phones ask of a meeting, and what becomes of one that asks too much or nonsense?

Addresses are counted for what anyone may try: codes and joining. A phone that joined has a bucket
of its own, so nobody is held up by another phone behind the same address.
"""

from __future__ import annotations

import re
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock

from limits import RateLimitItemPerMinute
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from slackwater.api.meeting_errors import answer_refusal
from slackwater.api.rate_limits import Limits
from slackwater.desk.meeting.live import LiveMeeting
from slackwater.desk.meeting.rooms import Rooms
from slackwater.errors import Busy
from slackwater.meeting.refusals import PhoneGone

WRONG_CODES = RateLimitItemPerMinute(60, namespace="wrong meeting codes")
JOINS = RateLimitItemPerMinute(120, namespace="joining a meeting")
LOOKS = RateLimitItemPerMinute(3000, namespace="looking at meetings")
"""One address may stand for a whole hall, whose phones all come at once."""
BUCKET, REFILLED_PER_S = 10.0, 4.0
MOST_REFUSED, WITHIN_S = 40, 20.0
MOST_BAD = 5
BAD = frozenset({400, 413, 422})
MOST_PHONES = 4096
"""Phones watched at once, of all meetings; eight meetings of 300 have fewer."""
OWN = re.compile(r"/api/meet/([^/]{1,60})/mine(?:/places)?")
PHONE_HEADER = "x-slackwater-phone"


class TooMany(Busy):
    """More is asked than is answered; in a moment it is again."""

    def __init__(self, wait_s: int = 1) -> None:
        self.wait_s = wait_s
        super().__init__(f"too much at once; try again in {wait_s} s")


class MeetingLimits:
    """Counts by address what anyone may try, and by phone what those in a meeting send."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._addresses = Limits()
        self._clock = clock
        self._phones: OrderedDict[str, Manners] = OrderedDict()
        self._lock = Lock()

    def count_wrong_code(self, address: str) -> None:
        """Note that an address named a meeting that is not there; TooMany where it goes on."""
        _require_no_wait(self._addresses.count(WRONG_CODES, address))

    def require_no_guesser(self, address: str) -> None:
        """Refuse an address that guesses codes whatever it asks next: it might be right."""
        _require_no_wait(self._addresses.spent(WRONG_CODES, address))

    def count_look(self, address: str) -> None:
        """Note that an address asks something without a key; TooMany where it goes on and on."""
        _require_no_wait(self._addresses.count(LOOKS, address))

    def count_join(self, address: str) -> None:
        """Note that an address has a phone join; TooMany where it has too many of them."""
        _require_no_wait(self._addresses.count(JOINS, address))

    def manners_of(self, digest: str) -> Manners:
        """Give what is known of how a phone behaves; the one quiet longest is forgotten."""
        with self._lock:
            found = self._phones.setdefault(digest, Manners(self._clock()))
            self._phones.move_to_end(digest)
            while len(self._phones) > MOST_PHONES:
                self._phones.popitem(last=False)
            return found

    def allows(self, digest: str) -> bool:
        """Whether a phone may ask just now; counts it either way."""
        return self.manners_of(digest).allows(self._clock())


def _require_no_wait(wait_s: int) -> None:
    """Refuse whoever has to wait; TooMany."""
    if wait_s:
        raise TooMany(wait_s)


@dataclass
class Manners:
    """How one phone behaves.

    Attributes
    ----------
    filled, at : what was in its bucket, and when.
    refused : when it was refused for asking too much, of late.
    bad : messages that were none, in its life.
    """

    at: float
    filled: float = BUCKET
    refused: deque[float] = field(default_factory=lambda: deque(maxlen=MOST_REFUSED))
    bad: int = 0

    def allows(self, now: float) -> bool:
        """Take one out of the bucket; False where nothing is in it."""
        self.filled = min(BUCKET, self.filled + (now - self.at) * REFILLED_PER_S)
        self.at = now
        if self.filled >= 1:
            self.filled -= 1
            return True
        self.refused.append(now)
        return False

    @property
    def past_bearing(self) -> bool:
        """Whether it is to be dropped."""
        floods = len(self.refused) == MOST_REFUSED and (
            self.refused[-1] - self.refused[0] <= WITHIN_S
        )
        return floods or self.bad >= MOST_BAD


class Mannered:
    """Stands before all that a phone says in a meeting: refuses floods, drops who misbehaves.

    Before a body is read, and by what came of it: whoever floods costs us neither threads nor
    parsing.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        found = _phone_in(scope)
        if found is None:
            await self._app(scope, receive, send)
            return
        live, digest = found
        limits: MeetingLimits = scope["app"].state.meeting_limits
        manners = limits.manners_of(digest)
        if not limits.allows(digest):
            refused: Exception = TooMany()
            if manners.past_bearing:
                live.drop(digest)
                refused = PhoneGone(dropped=True)
            await answer_refusal(refused)(scope, receive, send)
            return

        async def watched(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] in BAD:
                manners.bad += 1
                if manners.past_bearing:
                    live.drop(digest)
            await send(message)

        await self._app(scope, receive, watched)


def _phone_in(scope: Scope) -> tuple[LiveMeeting, str] | None:
    """Give the meeting and the digest of a phone that is in it; None for anything else."""
    asked = OWN.fullmatch(scope["path"]) if scope["type"] == "http" else None
    rooms: Rooms | None = scope["app"].state.rooms if asked else None
    if asked is None or rooms is None:
        return None
    live = rooms.here(asked[1])
    digest = live.phone_digest(Headers(scope=scope).get(PHONE_HEADER, "")) if live else ""
    return (live, digest) if live and digest else None
