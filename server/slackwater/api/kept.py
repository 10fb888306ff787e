"""Answers that many ask for are worked out, written down and compressed once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Awaitable, Callable

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from slackwater.api.etag import edition_of, follows_from_address, looks_in

MOST_BYTES = 32 * 1024 * 1024
LARGEST_SHARE = 4


class Kept:
    """Keeps whole answers of ``/api`` as they went out, up to 32 MiB, the oldest dropped first.

    What an answer holds follows from the edition, from what the caller may see and from its
    address: which case, and whether less is asked for than may be seen, stand there. Answers of an
    edition that has passed drop out. Conditional requests pass: they are cheap.
    """

    def __init__(
        self,
        app: ASGIApp,
        edition: Callable[[Scope], Awaitable[str]] = edition_of,
        most_bytes: int = MOST_BYTES,
    ) -> None:
        self._app = app
        self._edition = edition
        self._most = most_bytes
        self._kept: OrderedDict[tuple[str, ...], list[Message]] = OrderedDict()
        self._bytes = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        headers = Headers(scope=scope) if scope["type"] == "http" else Headers()
        keepable = follows_from_address(scope) and scope["method"] == "GET"
        if not keepable or "if-none-match" in headers:
            await self._app(scope, receive, send)
            return
        key = (
            await self._edition(scope),
            *looks_in(scope),
            scope["path"],
            scope["query_string"].decode("latin-1"),
            headers.get("accept-encoding", ""),
        )
        if key in self._kept:
            self._kept.move_to_end(key)
            for message in self._kept[key]:
                await send({**message})
            return
        messages: list[Message] = []

        async def keeping(message: Message) -> None:
            messages.append({**message, "headers": list(message.get("headers", []))}
                            if message["type"] == "http.response.start" else message)  # fmt: skip
            await send(message)

        await self._app(scope, receive, keeping)
        self._keep(key, messages)

    def _keep(self, key: tuple[str, ...], messages: list[Message]) -> None:
        """Keep an answer that went well and is no large share of the room."""
        size = size_of(key, messages)
        if messages[0].get("status") != 200 or size > self._most / LARGEST_SHARE:
            return
        if key not in self._kept:  # two may have asked at once
            self._kept[key] = messages
            self._bytes += size
        while self._bytes > self._most:
            self._bytes -= size_of(*self._kept.popitem(last=False))


def size_of(key: tuple[str, ...], messages: list[Message]) -> int:
    """Give how many bytes an answer takes; an address may be longer than what it is answered."""
    return sum(map(len, key)) + sum(len(message.get("body", b"")) for message in messages)
