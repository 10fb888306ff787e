"""How is a meeting held on a laptop? One shared case, its public page, and nothing else.

Whoever reaches the machine may look and join with a phone, without account and without internet. Of
the database only what is public of this one case leaves, and what the facilitator does is taken
from this machine alone.
"""

from __future__ import annotations

import socket
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress

import uvicorn
from fastapi import FastAPI
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.middleware.gzip import GZipMiddleware

from slackwater.api.bodies import Bounded
from slackwater.api.errors import handle_errors
from slackwater.api.guards import Guard, is_loopback
from slackwater.api.least_role import least
from slackwater.api.listening import address_of, listen
from slackwater.api.meeting_hall import hold_meetings
from slackwater.api.meeting_here import MeetingDoor
from slackwater.api.meeting_limits import Mannered
from slackwater.api.meeting_links import bounded_links
from slackwater.api.meeting_told import ANY, CASE, HERE, HeldMeeting, told
from slackwater.api.own_addresses import own_addresses
from slackwater.api.page import serve_assets
from slackwater.desk.meeting.rooms import USUAL_HOURS, Rooms
from slackwater.desk.shared_pages import ShownCase, shared_case_named, shown_case
from slackwater.desk.working import Working
from slackwater.errors import Cancelled, UsageError
from slackwater.people.roles import Least

MOST_AT_ONCE = 1000
"""Connections: phones hold one each, and a few come and go."""
ENDS_WITHIN_S = 5
GOES_ON = "Ended. A meeting that nobody closed goes on where the command is given again."


def meet(
    opening: Callable[[], Working],
    case: str,
    host: str,
    port: int,
    *,
    open_to_network: bool,
    hours: int = USUAL_HOURS,
) -> None:
    """Hold a meeting on a case until told to stop, and say in words to whom.

    Raises
    ------
    UsageError
        Where the host is not this machine's own and nobody said that the network may look.
    """
    host = host or (ANY if open_to_network else HERE)
    if not is_loopback(host) and not open_to_network:
        raise UsageError(
            f"{host} is not this machine alone; say --open-to-network where every machine that "
            "reaches this one may look at the case and join the meeting"
        )
    with listen(host, port) as listener:
        working = opening()
        try:
            held = hold(working, case, hours)
            door = door_for(listener)
            app = create_meeting(held, working, door)
        except BaseException:
            working.close()
            raise
        listener.listen()
        print(told(held, listener, door), flush=True)
        server = uvicorn.Server(config_of(app))
        app.state.leaving = lambda: server.should_exit
        with suppress(KeyboardInterrupt, Cancelled):  # told to stop, it has stopped
            server.run(sockets=[listener])
        print(GOES_ON, flush=True)


def hold(working: Working, case: str, hours: int) -> HeldMeeting:
    """Open a meeting on a case, or go on with the one that was on when this ended.

    Raises
    ------
    UsageError
        Where there is no such case that is shared.
    """
    case_id, rooms = shared_case_named(working, case), Rooms(working)
    shown = shown_case(working, case_id, CASE)
    again = rooms.take_up(case_id)
    opened = again or rooms.open(case_id, hours, "lead")
    return HeldMeeting(rooms, shown, opened, again is not None)


def door_for(listener: socket.socket) -> MeetingDoor:
    """Give where phones reach what listens: nowhere, where that is this machine alone."""
    host, port = listener.getsockname()[:2]
    if is_loopback(host):
        return MeetingDoor(near_only=True)
    if host not in (ANY, "::"):
        return MeetingDoor(address_of(listener), near_only=True, any_host=True)
    reached = own_addresses()
    root = f"http://{reached[0]}:{port}" if reached else ""
    return MeetingDoor(root, near_only=True, any_host=True)


def create_meeting(held: HeldMeeting, working: Working, door: MeetingDoor) -> FastAPI:
    """Make the service of one case and its meeting."""

    @asynccontextmanager
    async def to_the_end(_: FastAPI) -> AsyncIterator[None]:
        yield
        await run_in_threadpool(working.close)

    app = FastAPI(
        title="Slackwater", docs_url=None, redoc_url=None, openapi_url=None, lifespan=to_the_end
    )
    app.state.leaving = lambda: False  # whoever runs the service says when it is told to end
    handle_errors(app)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=6)
    app.add_middleware(Bounded)
    app.add_middleware(Mannered)
    app.add_middleware(Guard, any_host=door.any_host)
    _show_case(app, held.shown)
    hold_meetings(app, held.rooms, door)
    serve_assets(app)
    return app


def _show_case(app: FastAPI, shown: ShownCase) -> None:
    """Add the public page, made before the port was opened, with its style sheet and map."""

    @app.get("/", **least(Least.MEETING))
    def root() -> RedirectResponse:
        return RedirectResponse("/meet", 307)

    @app.get(CASE, **least(Least.MEETING))
    def page() -> Response:
        return Response(shown.page, media_type="text/html")

    @app.get(f"{CASE}/look.css", **least(Least.MEETING))
    def look() -> Response:
        return Response(shown.look, media_type="text/css")

    @app.get(f"{CASE}/map.html", **least(Least.MEETING))
    def map_file() -> Response:
        said = {"Content-Disposition": f'attachment; filename="{shown.map.name}"'}
        return Response(shown.map.content, media_type="text/html; charset=utf-8", headers=said)


def config_of(app: FastAPI) -> uvicorn.Config:
    """Give how the server runs: no log of addresses, and no proxy before it."""
    return uvicorn.Config(
        app,
        log_level="warning",
        server_header=False,
        access_log=False,
        proxy_headers=False,
        limit_concurrency=MOST_AT_ONCE,
        http=bounded_links(),
        timeout_graceful_shutdown=ENDS_WITHIN_S,
    )
