"""Which role is the least that may call an address? Said where the address is made."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fastapi import FastAPI
from starlette.routing import BaseRoute, Match, Mount, Route
from starlette.types import ASGIApp, Scope

from slackwater.people.roles import Least

WORD = "x-least-role"
"""Under this word the API's description tells it."""


def least(role: Least, **more: Any) -> dict[str, Any]:
    """Give what an endpoint is made with: ``@app.get(path, **least(Least.LEAD))``.

    Parameters
    ----------
    more : what else its description says that the web library does not find by itself.
    """
    return {"openapi_extra": {WORD: role.value, **more}}


class HandedOut(Mount):
    """All that lies below one path, with the least role that may call any of it."""

    def __init__(self, path: str, app: ASGIApp, role: Least) -> None:
        super().__init__(path, app=app)
        self.least = role


def least_of(route: BaseRoute) -> Least | None:
    """Give the least role of a route; None where none was named, so that it is closed to all."""
    if isinstance(route, HandedOut):
        return route.least
    said = (getattr(route, "openapi_extra", None) or {}).get(WORD)
    return None if said is None else Least(said)


def route_of(scope: Scope) -> BaseRoute | None:
    """Give the route that will answer; None where there is none, or none for this method."""
    routes = scope["app"].router.routes
    return next((each for each in routes if each.matches(scope)[0] is Match.FULL), None)


def roles_of(app: FastAPI) -> Iterator[tuple[str, str, Least | None]]:
    """Give method, path and least role of every route there is, mounts and pages too."""
    for route in app.router.routes:
        if isinstance(route, Mount):
            yield "GET", f"{route.path}/...", least_of(route)
        elif isinstance(route, Route):
            for method in sorted((route.methods or set()) - {"HEAD"}):
                yield method, route.path, least_of(route)
        else:
            yield "?", getattr(route, "path", repr(route)), least_of(route)
