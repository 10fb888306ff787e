"""How many connections may one machine hold to a meeting? Idle ones would leave none for others.

No proxy stands before `slackwater meet`, so a connection's other end is whoever it says.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from typing import Any

from uvicorn.protocols.http.auto import AutoHTTPProtocol

from slackwater.api.guards import is_loopback

MOST_AN_ADDRESS = 160
"""A few more than the streams it may follow."""
ASKS_WITHIN_S = 15.0
"""Whoever says nothing for so long is let go."""


def bounded_links(most: int = MOST_AN_ADDRESS, within_s: float = ASKS_WITHIN_S) -> type[Any]:
    """Give how a server speaks HTTP, to so many connections of one address at a time.

    This machine itself is not counted: the wall and the facilitator are on it.
    """
    links: Counter[str] = Counter()

    class BoundedLink(AutoHTTPProtocol):  # type: ignore[misc, valid-type]
        """One connection."""

        def connection_made(self, transport: asyncio.BaseTransport) -> None:
            super().connection_made(transport)
            assert isinstance(transport, asyncio.Transport)
            peer = transport.get_extra_info("peername") or ("",)
            self._from = "" if is_loopback(peer[0]) else str(peer[0])
            self._silence = asyncio.get_running_loop().call_later(within_s, self._require_word)
            links[self._from] += bool(self._from)
            if links[self._from] > most:
                transport.abort()

        def connection_lost(self, exc: Exception | None) -> None:
            self._silence.cancel()
            links[self._from] -= bool(self._from)
            if not links[self._from]:
                del links[self._from]
            super().connection_lost(exc)

        def _require_word(self) -> None:
            if self.cycle is None:  # not one whole request has come
                self.transport.close()

    return BoundedLink
