"""Has an answer changed since it was last asked for? A tag an answer, and 304 where it has not."""

from __future__ import annotations

import hashlib

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders, QueryParams
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from slackwater.api.calling import called_in
from slackwater.api.looking import edition_shown, viewer_of
from slackwater.desk.visibility import Viewer, lower
from slackwater.errors import SlackwaterError

FOLLOWS = frozenset({
    "catchment", "offtakes", "losses", "reaches", "places", "land", "roads", "relief.png",
    "findings", "guide", "openapi.json",
})  # fmt: skip
"""What under ``/api`` follows from the edition; work, the register and cases go on changing."""

REVALIDATE = "private, no-cache"


class Tagged:
    """Puts an ``ETag`` on every answer under ``/api`` that went well; answers 304 without work.

    What an answer holds follows from the edition, who looks and the address alone. A browser may
    keep and ask again for what anyone may see; the agency's and the lead's answers it may not write
    down.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if not follows_from_address(scope):
            await self._app(scope, receive, send)
            return
        own, viewer = looks_in(scope)
        tag = await self._tag_of(scope, own)
        keeping = {"ETag": tag}
        if viewer is Viewer.PUBLIC:
            keeping["Cache-Control"] = REVALIDATE
        if holds(Headers(scope=scope).get("if-none-match", ""), tag):
            await Response(status_code=304, headers=keeping)(scope, receive, send)
            return

        async def tagged(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] == 200:
                MutableHeaders(scope=message).update(keeping)
            await send(message)

        await self._app(scope, receive, tagged)

    async def _tag_of(self, scope: Scope, own: Viewer) -> str:
        """Give a weak tag: the same answer may travel compressed or not."""
        query = scope["query_string"].decode("latin-1")
        parts = (await edition_of(scope), own, scope["path"], query)
        digest = hashlib.sha256("\n".join(parts).encode()).hexdigest()
        return f'W/"{digest[:24]}"'


def follows_from_address(scope: Scope) -> bool:
    """Whether an answer is the same whenever the same address is asked."""
    if scope["type"] != "http" or scope["method"] not in ("GET", "HEAD"):
        return False
    parts = scope["path"].split("/")
    return parts[:2] == ["", "api"] and len(parts) > 2 and parts[2] in FOLLOWS


async def edition_of(scope: Scope) -> str:
    """Give what an answer follows from besides who looks and its address; "" for no such case."""
    case = QueryParams(scope["query_string"]).get("case", "")
    if not case:
        return edition_shown(scope).view.edition
    try:  # the data of a case may have to be worked out first
        return (await run_in_threadpool(edition_shown, scope, case)).view.edition
    except SlackwaterError:
        return ""


def looks_in(scope: Scope) -> tuple[Viewer, Viewer]:
    """Give what the caller may see, and who looks: the lower of that and what ``as`` asks for."""
    own = viewer_of(called_in(scope).caller)
    asked = QueryParams(scope["query_string"]).get("as", Viewer.LEAD)
    return own, lower(own, Viewer(asked) if asked in set(Viewer) else Viewer.PUBLIC)


def holds(if_none_match: str, tag: str) -> bool:
    """Whether a list of tags holds one, weak or strong."""
    listed = {each.strip().removeprefix("W/") for each in if_none_match.split(",")}
    return tag.removeprefix("W/") in listed
