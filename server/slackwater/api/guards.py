"""What is every answer guarded by? Headers, and whom the service answers at all."""

from __future__ import annotations

import ipaddress
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

CONTENT_POLICY = "; ".join((
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
))  # fmt: skip

SECURITY_HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


class Guard:
    """Refuses foreign host names and puts the security headers on every answer.

    A request whose ``Host`` is no name of this machine's own is refused: a foreign page that points
    its own name at this machine would otherwise read what it serves. So is one that a foreign page
    sends by itself, as its ``Origin`` says: it could start work here.

    Parameters
    ----------
    outside : name, with its port where it has one, under which a proxy on this machine serves the
        page to others; "" where there is none.
    any_host : whether it answers under whatever name it is called, as it must on a network whose
        names nobody keeps; foreign pages are refused all the same.
    """

    def __init__(self, app: ASGIApp, outside: str = "", *, any_host: bool = False) -> None:
        self._app = app
        self._outside = outside
        self._any_host = any_host

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        outside = headers.get("host", "") if self._any_host else self._outside
        refused = refusal(headers, outside) or strange(scope)
        if refused:
            await refused(scope, receive, send)
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in SECURITY_HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await self._app(scope, receive, guarded)


def refusal(headers: Headers, outside: str = "") -> JSONResponse | None:
    """Give the answer to a request that is not served; None where it is."""
    host = headers.get("host", "")
    if not is_loopback(host_name(host)) and (not outside or host != outside):
        status, code = 421, "foreign_host"
        message = "This service answers to this machine's own names only."
    elif "origin" in headers and urlsplit(headers["origin"]).netloc not in {host, outside} - {""}:
        status, code = 403, "foreign_origin"
        message = "This service answers to its own page only."
    else:
        return None
    return JSONResponse({"error": {"code": code, "message": message}}, status, SECURITY_HEADERS)


def strange(scope: Scope) -> JSONResponse | None:
    """Give the answer to an address with a NUL in it, which no text here holds; else None."""
    query = scope["query_string"]
    if "\x00" not in scope["path"] and b"%00" not in query and b"\x00" not in query:
        return None
    error = {"code": "bad_request", "message": "This address holds what no text here can hold."}
    return JSONResponse({"error": error}, 400, SECURITY_HEADERS)


def host_name(host: str) -> str:
    """Give the name in a ``Host`` header without its port, "" where it is none."""
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def is_loopback(host: str) -> bool:
    """Whether a host's name stands for this machine alone."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
