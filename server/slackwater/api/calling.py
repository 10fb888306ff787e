"""Who calls? Found before anything is answered; what their roles do not allow is refused here."""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
import secrets
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from slackwater.api.entry import Entry
from slackwater.api.errors import answer_of, error_answer
from slackwater.api.least_role import HandedOut, least_of, route_of
from slackwater.api.plain_page import plain_page
from slackwater.api.rate_limits import Limits, address_of
from slackwater.errors import SlackwaterError
from slackwater.people.roles import BY_WHAT_IS_HELD, NOBODY, Caller, Least, Role

COOKIE = "slackwater"
CSRF_HEADER = "x-slackwater-csrf"
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
WITHOUT_ACCOUNTS = Caller("", frozenset({Role.LEAD}))
"""Whoever reaches a service without accounts, which listens on its own machine alone."""
THE_PUBLIC = Caller("", frozenset({Role.PUBLIC}))
_KEY = secrets.token_bytes(32)
"""Of this process: a page that outlives it asks /api/me for a new token."""

FOR_PEOPLE = ("/print/", "/files/")
"""What people open by a link of its own; where they are not signed in they meet a page."""
SIGN_IN = "Sign in to see this."
UNKNOWN_KEY = "This token is not known here: it was ended, or its time is over."
NOT_ADDED = "You are signed in outside, but nobody has added you here; ask who looks after this."
READS_ALONE = "This token may read and change nothing."
NO_CSRF = "This page is older than your sign-in; load it again."
CLOSED = "Nobody may call this: no least role is named for it."


class Way(StrEnum):
    """How whoever calls has shown who they are."""

    NONE = ""
    SESSION = "session"
    TOKEN = "token"  # noqa: S105 - a word, no secret
    HEADER = "header"


@dataclass(frozen=True)
class Found:
    """Who calls, and how that is known.

    Attributes
    ----------
    secret : of the session, "" without one.
    refusal : why what they came with does not stand, "" where it does or they came with nothing.
    """

    caller: Caller
    way: Way = Way.NONE
    secret: str = ""
    refusal: str = ""


UNKNOWN = Found(NOBODY)


class Known:
    """Finds the caller of every request; refuses what the least role of its address does not allow.

    Stands outside all that keeps answers, so nothing kept reaches anyone it is not for. An address
    without a least role is closed to all.
    """

    def __init__(self, app: ASGIApp, entry: Entry, limits: Limits) -> None:
        self._app, self._entry, self._limits = app, entry, limits

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        route = route_of(scope)
        role = Least.ANYONE if route is None else least_of(route)  # where there is none, 404 or 405
        if isinstance(route, HandedOut) and role is Least.ANYONE:  # the page's own files
            await self._app(scope, receive, send)
            return
        if role in BY_WHAT_IS_HELD:  # who somebody is means nothing there, so nobody is looked for
            await self._app(scope, receive, send)
            return
        try:
            found = await self._found(scope)
        except SlackwaterError as error:
            await answer_of(error)(scope, receive, send)
            return
        state = scope.setdefault("state", {})
        state.update(caller=found.caller, found=found, session=found.secret)
        refused = self._too_many(scope, found) or refusal(scope, found, role)
        if refused and refused.status_code == 401 and scope["path"].startswith(FOR_PEOPLE):
            refused = plain_page("Sign in", SIGN_IN, 401, way_on="Sign in")
        await (refused or self._app)(scope, receive, send)

    async def _found(self, scope: Scope) -> Found:
        if self._entry.accounts is None:
            return Found(WITHOUT_ACCOUNTS)
        headers = Headers(scope=scope)
        if not came_with_anything(headers, self._entry):
            return Found(self._stranger)
        return await run_in_threadpool(self._look_up, headers)

    def _look_up(self, headers: Headers) -> Found:
        """Ask the accounts who that is: by token, else by what the proxy says, else by session."""
        accounts = self._entry.accounts
        assert accounts is not None
        token = token_in(headers.get("authorization", ""))
        person = accounts.of_token(token) if token else None
        if person:
            return Found(person, Way.TOKEN)
        named = headers.getlist(self._entry.sign_in_header) if self._entry.sign_in_header else []
        person = accounts.of_name(plain_name(named[0])) if len(named) == 1 and named[0] else None
        if person:
            return Found(person, Way.HEADER)
        secret = cookie_in(headers)
        person = accounts.of_session(secret) if secret else None
        if person:  # also where a proxy passes on what it asked for itself under "authorization"
            return Found(person, Way.SESSION, secret)
        if "authorization" in headers:
            return Found(NOBODY, refusal=UNKNOWN_KEY)
        return Found(self._stranger, refusal=NOT_ADDED if any(named) else "")

    @property
    def _stranger(self) -> Caller:
        return THE_PUBLIC if self._entry.public_map else NOBODY

    def _too_many(self, scope: Scope, found: Found) -> Response | None:
        if self._entry.accounts is None:
            return None
        wait_s = self._limits.wait_s(
            scope["method"], scope["path"], found.caller, address_of(scope)
        )
        if not wait_s:
            return None
        told = f"Too many requests from here; try again in {wait_s} s."
        answer = error_answer(429, "too_many", told)
        answer.headers["Retry-After"] = str(wait_s)
        return answer


def refusal(scope: Scope, found: Found, role: Least | None) -> Response | None:
    """Give the answer to a request that its caller may not make; None where they may."""
    caller, unsafe = found.caller, scope["method"] not in SAFE
    if role is None:
        return error_answer(403, "not_allowed", CLOSED)
    if not caller.may(role):
        if not caller.roles:
            return error_answer(401, "sign_in_needed", found.refusal or SIGN_IN)
        return error_answer(403, "not_allowed", not_enough(caller, role))
    if unsafe and not caller.may_write:
        return error_answer(403, "not_allowed", READS_ALONE)
    if unsafe and found.way in (Way.SESSION, Way.HEADER):
        sent = Headers(scope=scope).get(CSRF_HEADER, "")
        if not hmac.compare_digest(sent.encode("latin-1"), csrf_token(found).encode()):
            return error_answer(403, "csrf", NO_CSRF)
    return None


def not_enough(caller: Caller, role: Least) -> str:
    """Say which role would be needed."""
    if caller.name:
        held = " and ".join(sorted(caller.roles))
        return f"This asks for the role {role.value}; here you have {held}."
    return f"This asks for the role {role.value}; sign in with an account that has it."


def csrf_token(found: Found) -> str:
    """Give what a changing request must carry that no browser sends by itself; "" for none."""
    said = {
        Way.SESSION: f"session {found.secret}",
        Way.HEADER: f"header {found.caller.name}",
    }.get(found.way)
    return hmac.new(_KEY, said.encode(), hashlib.sha256).hexdigest() if said else ""


def came_with_anything(headers: Headers, entry: Entry) -> bool:
    """Whether there is anything to look up."""
    header = entry.sign_in_header
    return "authorization" in headers or bool(cookie_in(headers)) or header in headers


def token_in(authorization: str) -> str:
    """Give the token of a header, as it stands or as the password beside any name; "" for none."""
    kind, _, value = authorization.partition(" ")
    if kind.lower() == "bearer":
        return value.strip()
    if kind.lower() != "basic":
        return ""
    try:
        return base64.b64decode(value.strip(), validate=True).decode().partition(":")[2]
    except (binascii.Error, UnicodeDecodeError):
        return ""


def plain_name(value: str) -> str:
    """Give the name in a header; what proxies write in UTF-8 arrives letter by letter."""
    try:
        return value.encode("latin-1").decode()
    except UnicodeDecodeError:
        return value


def cookie_in(headers: Headers) -> str:
    """Give the session's secret, "" where there is none."""
    pairs = (each.partition("=") for line in headers.getlist("cookie") for each in line.split(";"))
    return next((value.strip() for name, _, value in pairs if name.strip() == COOKIE), "")


def called_in(scope: Scope) -> Found:
    """Give who calls and how that is known; nobody where nobody was looked for."""
    found: Found = scope.get("state", {}).get("found", UNKNOWN)
    return found


def found_of(request: Request) -> Found:
    """Give who calls and how that is known."""
    return called_in(request.scope)


def caller_of(request: Request) -> Caller:
    """Give who calls."""
    return found_of(request).caller


def signed(caller: Caller, said: str) -> str:
    """Give who does something: the account's name, or what was said where there are none."""
    return caller.name or said


Calls = Annotated[Caller, Depends(caller_of)]
"""Who calls."""
FoundHere = Annotated[Found, Depends(found_of)]
"""Who calls, and how that is known."""
