"""How does a meeting's Now come to all who look? Worked out once a change, handed to every stream.

A slow stream misses some and holds nobody up: each waits for itself and takes the newest.
"""

from __future__ import annotations

import asyncio
import json
import logging
from collections import Counter
from collections.abc import AsyncIterator, Callable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from anyio import CapacityLimiter, to_thread
from sse_starlette import ServerSentEvent

from slackwater.api.meeting_limits import TooMany
from slackwater.desk.meeting.live import LiveMeeting

LEAST_BETWEEN_S = 0.25
LOOKS_EVERY_S = 0.5
"""How often a meeting nobody moves is asked whether it is over, and the service whether it ends."""
MOST_STREAMS, MOST_AN_ADDRESS, MOST_A_PHONE, MOST_LEADING = 400, 120, 2, 20
COME_AGAIN_S = 5
_log = logging.getLogger(__name__)
Leaving = Callable[[], bool]


@dataclass
class Places:
    """How many streams are open: of each address, of each phone, of those with the key."""

    plain: int = 0
    of: Counter[tuple[str, str]] = field(default_factory=Counter)

    def take(self, kind: str, who: str) -> None:
        """Count a stream; TooMany where there is no place for it."""
        most = {"phone": MOST_A_PHONE, "key": MOST_LEADING}.get(kind, MOST_AN_ADDRESS)
        all_taken = kind != "key" and self.plain >= MOST_STREAMS
        if all_taken or self.of[kind, who] >= most:
            raise TooMany(COME_AGAIN_S)
        self.of[kind, who] += 1
        self.plain += kind != "key"

    def give_back(self, kind: str, who: str) -> None:
        """Count it no more."""
        self.of[kind, who] -= 1
        if not self.of[kind, who]:
            del self.of[kind, who]
        self.plain -= kind != "key"


class Pulse:
    """The Now of one meeting, worked out after a change and handed to all streams.

    It lives in one event loop, as long as somebody looks.
    """

    def __init__(self, live: LiveMeeting, leaving: Leaving) -> None:
        self._live, self._leaving = live, leaving
        self._loop = asyncio.get_running_loop()
        self._thread = CapacityLimiter(1)  # its own: however busy all others are, a wall goes on
        self._stirred, self._turned = asyncio.Event(), asyncio.Event()
        self._stop_listening = live.room.listen(self._stir)
        self.text, self.number = "", 0
        self.ended: dict[str, bool] | None = None
        self.over = False
        self.looking = 0
        self._task = self._loop.create_task(self._publish())

    async def follow(self, is_in: Callable[[], bool]) -> AsyncIterator[ServerSentEvent]:
        """Give the newest Now at once and whenever it is another, then that it has ended.

        Parameters
        ----------
        is_in : whether whoever follows may; a phone that is dropped meanwhile may not.
        """
        seen = 0
        while is_in():
            turned = self._turned
            if self.number != seen:
                seen = self.number
                yield ServerSentEvent(event="now", data=self.text)
            elif self.over:
                break
            else:
                await turned.wait()
        if self.ended is not None:
            yield ServerSentEvent(event="ended", data=json.dumps(self.ended))

    def close(self) -> None:
        """Work nothing out any more."""
        self._stop_listening()
        self._task.cancel()

    def _stir(self) -> None:
        """Hear of a change, in whichever thread."""
        with suppress(RuntimeError):  # the loop was closed meanwhile
            self._loop.call_soon_threadsafe(self._stirred.set)

    async def _publish(self) -> None:
        """Work out the newest Now whenever something stirred, until the end."""
        self._stirred.set()
        try:
            while not self.over:
                if self._stirred.is_set():
                    self._stirred.clear()
                    await self._renew()
                    await asyncio.sleep(0 if self._leaving() else LEAST_BETWEEN_S)
                await self._look()
        except Exception:  # streams end and come again; the meeting is as it was
            _log.exception("the news of a meeting broke off")
        finally:
            self.over = True
            self._turn()

    async def _renew(self) -> None:
        text = await to_thread.run_sync(lambda: as_text(self._live.now()), limiter=self._thread)
        if text != self.text:
            self.text, self.number = text, self.number + 1
        self._turn()  # also where it is the same: somebody may have been dropped

    async def _look(self) -> None:
        """Wait for a stir; say where meeting or service have come to their end."""
        if self._leaving():
            self.over = True
            return
        if await to_thread.run_sync(self._live.is_over, limiter=self._thread):
            self.ended = {"minutes": self._live.has_minutes}
            self.over = True
            return
        with suppress(TimeoutError):
            await asyncio.wait_for(self._stirred.wait(), LOOKS_EVERY_S)

    def _turn(self) -> None:
        self._turned.set()
        self._turned = asyncio.Event()


class Newsroom:
    """The pulses of all meetings that somebody looks at."""

    def __init__(self) -> None:
        self.places = Places()
        self._pulses: dict[tuple[str, int], Pulse] = {}

    def enter(self, live: LiveMeeting, leaving: Leaving) -> Pulse:
        """Give the pulse of a meeting, begun where nobody looked before."""
        key = (live.code, id(asyncio.get_running_loop()))
        pulse = self._pulses.get(key)
        if pulse is None or pulse.over:
            pulse = self._pulses[key] = Pulse(live, leaving)
        pulse.looking += 1
        return pulse

    def leave(self, live: LiveMeeting, pulse: Pulse) -> None:
        """Leave a pulse; the last one ends it."""
        pulse.looking -= 1
        if not pulse.looking:
            pulse.close()
            key = (live.code, id(asyncio.get_running_loop()))
            if self._pulses.get(key) is pulse:
                del self._pulses[key]


def as_text(values: dict[str, Any]) -> str:
    """Write values as JSON on one line."""
    return json.dumps(values, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
