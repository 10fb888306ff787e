"""How is one shared case shown to a room? Its public page, style sheet and map file, nothing else.

There is no sign-in, no data and no database behind it once it has begun: everything was made before
the port was opened, of public facts alone.
"""

from __future__ import annotations

import socket
from collections.abc import Callable

import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from slackwater.api.errors import error_answer
from slackwater.api.guards import SECURITY_HEADERS, is_loopback
from slackwater.api.listening import address_of, listen
from slackwater.desk.shared_pages import ShownCase
from slackwater.errors import UsageError

ANY, HERE = "0.0.0.0", "127.0.0.1"  # noqa: S104 - asked for in words: --open-to-network
MOST_AT_ONCE = 200


def meet(opening: Callable[[], ShownCase], host: str, port: int, *, open_to_network: bool) -> None:
    """Show a case until told to stop, and say in words to whom.

    Raises
    ------
    UsageError
        Where the host is not this machine's own and nobody said that the network may look.
    """
    host = host or (ANY if open_to_network else HERE)
    if not is_loopback(host) and not open_to_network:
        raise UsageError(
            f"{host} is not this machine alone; say --open-to-network where every machine that "
            "reaches this one may look at the case"
        )
    with listen(host, port) as listener:
        shown = opening()
        listener.listen()
        print(told(shown, listener), flush=True)
        config = uvicorn.Config(
            create_meeting(shown),
            log_level="warning",
            server_header=False,
            access_log=False,
            proxy_headers=False,
            limit_concurrency=MOST_AT_ONCE,
        )
        uvicorn.Server(config).run(sockets=[listener])


def create_meeting(shown: ShownCase) -> Starlette:
    """Make the service of one case."""

    def page(_: Request) -> Response:
        return Response(shown.page, media_type="text/html", headers=SECURITY_HEADERS)

    def look(_: Request) -> Response:
        return Response(shown.look, media_type="text/css", headers=SECURITY_HEADERS)

    def map_file(_: Request) -> Response:
        said = {
            "Content-Disposition": f'attachment; filename="{shown.map.name}"',
            **SECURITY_HEADERS,
        }
        return Response(shown.map.content, media_type="text/html; charset=utf-8", headers=said)

    return Starlette(
        routes=[Route("/", page), Route("/look.css", look), Route("/map.html", map_file)],
        exception_handlers={HTTPException: _not_here},
    )


def told(shown: ShownCase, listener: socket.socket) -> str:
    """Say what is opened, to whom, and until when."""
    address, port = address_of(listener), listener.getsockname()[1]
    if is_loopback(listener.getsockname()[0]):
        who = f"at {address}, on this machine alone"
    elif listener.getsockname()[0] in (ANY, "::"):
        who = f"at http://{socket.gethostname()}:{port}, to every machine that reaches this one"
    else:
        who = f"at {address}, to every machine that reaches this one"
    return (
        f"Slackwater shows the public page of “{shown.name}” ({shown.catchment}) {who}, without "
        "an account and unencrypted.\nNothing else can be read there: no names, quotes or exact "
        "places, no other case, no data of the agency. It ends with this command."
    )


def _not_here(_: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 405:
        return error_answer(405, "method_not_allowed", "Here is only something to look at.")
    return error_answer(404, "not_found", "There is one page here, at the root of this address.")
