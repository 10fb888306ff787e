"""What does a wall follow? Its meeting's Now, sent on every change, at most four times a second."""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator, Callable

from fastapi import FastAPI, Request
from sse_starlette import EventSourceResponse, ServerSentEvent
from starlette.types import Receive, Scope, Send

from slackwater.api.least_role import least
from slackwater.api.meeting_here import LONGEST, KeySaid, LiveHere, PhoneToken
from slackwater.api.meeting_pulse import LOOKS_EVERY_S, Newsroom
from slackwater.api.rate_limits import address_of
from slackwater.people.roles import Least

PING_S = 5
SLOWEST_S = 10.0
"""Whoever does not take what was sent for so long is not there."""
ENDS_WITHIN_S = 2 * LOOKS_EVERY_S
"""How long a stream has to end by itself when the service does."""
_log = logging.getLogger(__name__)


class NewsStream(EventSourceResponse):
    """A stream that gives its place back, however it ends."""

    def __init__(self, content: AsyncIterator[ServerSentEvent], gone: Callable[[], None]) -> None:
        super().__init__(
            content, ping=PING_S, send_timeout=SLOWEST_S, shutdown_grace_period=ENDS_WITHIN_S
        )
        self._gone = gone

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send until one of both sides has enough."""
        try:
            await super().__call__(scope, receive, send)
        except TimeoutError:
            _log.info("a stream was not taken; it is closed")
        finally:
            self._gone()


def answer_news(app: FastAPI) -> None:
    """Add the stream of a meeting."""

    @app.get(
        "/api/meet/{meeting_code}/news",
        response_class=EventSourceResponse,
        responses={200: {"content": {"text/event-stream": {}}}},
        **least(Least.MEETING),
    )
    async def news(
        request: Request, live: LiveHere, phone: PhoneToken = "", key: KeySaid = ""
    ) -> NewsStream:
        """Every Now as it comes, as server-sent events; then that the meeting has ended."""
        newsroom: Newsroom = request.app.state.newsroom
        kind, who = "address", address_of(request.scope)
        number = live.number_of(phone[:LONGEST]) if phone else 0
        if number:
            kind, who = "phone", f"{live.code} {number}"
        elif live.holds_key(key[:LONGEST]):
            kind, who = "key", live.code
        newsroom.places.take(kind, who)
        pulse = newsroom.enter(live, lambda: bool(request.app.state.leaving()))
        live.arrived(number)

        def gone() -> None:
            newsroom.places.give_back(kind, who)
            newsroom.leave(live, pulse)
            live.left(number)

        return NewsStream(pulse.follow(lambda: not number or live.is_in(number)), gone)
