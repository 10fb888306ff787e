"""How much may a request hold? What is larger is refused before it fills the memory."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from slackwater.api.errors import error_answer

MOST_BYTES = 4_000_000
MOST_OF_A_STRANGER = 20_000
MOST_IN_A_MEETING = 4_000
FOR_STRANGERS = frozenset({"/api/sign-in", "/api/sign-out"})
"""What anyone may send to; a large body there would cost us more than whoever sends it."""
MEETINGS = "/api/meet/"
UPLOADS = "/api/uploads"
"""Whole files arrive here; they have a limit of their own and pass through to the disk."""


class Bounded:
    """Refuses large bodies, by what they say and what they are.

    Above 4 MB; of strangers above 20 kB; in meetings above 4 kB.
    """

    def __init__(self, app: ASGIApp, most_bytes: int = MOST_BYTES) -> None:
        self._app = app
        self._most = most_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http" or scope["path"] == UPLOADS:
            await self._app(scope, receive, send)
            return
        most = min(self._most, most_at(scope["path"]))
        told = f"At most {told_size(most)} at once; send it in parts."
        said = dict(scope["headers"]).get(b"content-length", b"0")
        if said.isdigit() and int(said) > most:
            await error_answer(413, "too_large", told)(scope, receive, send)
            return
        so_far = 0

        async def bounded() -> Message:
            nonlocal so_far
            message = await receive()
            so_far += len(message.get("body", b""))
            if so_far > most:
                raise HTTPException(413, told)
            return message

        await self._app(scope, bounded, send)


def most_at(path: str) -> int:
    """Give how many bytes a body may have at an address."""
    if path.startswith(MEETINGS):
        return MOST_IN_A_MEETING
    return MOST_OF_A_STRANGER if path in FOR_STRANGERS else MOST_BYTES


def told_size(size_bytes: int) -> str:
    """Give a size as people read it."""
    return f"{size_bytes / 1e6:g} MB" if size_bytes >= 1e5 else f"{size_bytes / 1e3:g} kB"
