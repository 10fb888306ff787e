"""How does the service come up? Opens a catchment and listens on this machine."""

from __future__ import annotations

import socket
from collections.abc import Callable
from urllib.parse import urlsplit

import uvicorn

from slackwater.api.app import create_app
from slackwater.api.guards import is_loopback
from slackwater.desk.showing import Showing
from slackwater.errors import UsageError


def serve(opening: Callable[[], Showing], host: str, port: int, behind: str = "") -> None:
    """Open a catchment and serve it until told to stop.

    Parameters
    ----------
    opening : reads a catchment or opens a database; called once the port is taken.
    behind : address under which a proxy on this machine serves the page to others, "" for none.

    Raises
    ------
    UsageError
        Where the host is not this machine's own, the port is taken, or ``behind`` is no address.
    InputFaults
        Where the catchment's data is at fault.
    """
    outside = outer_name(behind)
    with listen(host, port) as listener:
        showing = opening()
        app = create_app(showing, outside)
        name = showing.of().view.catchment.name
        listener.listen()  # whoever follows the address at once waits instead of being refused
        print(f"Slackwater serves {name} at {address_of(listener)}", flush=True)
        config = uvicorn.Config(app, log_level="warning", server_header=False, access_log=False)
        server = uvicorn.Server(config)
        app.state.leaving = lambda: server.should_exit
        server.run(sockets=[listener])


def outer_name(behind: str) -> str:
    """Give the host name, with its port where it has one, of an outer address.

    Raises
    ------
    UsageError
        Where it is no plain ``https`` address.
    """
    if not behind:
        return ""
    parts = urlsplit(behind)
    if (
        parts.scheme != "https"
        or not parts.hostname
        or "@" in parts.netloc
        or parts.path.strip("/")
    ):
        raise UsageError(
            f"{behind!r} is not the address of a proxy; give one like https://river.example, "
            "the page at its root"
        )
    return parts.netloc


def listen(host: str, port: int) -> socket.socket:
    """Take a port of this machine; 0 takes any that is free."""
    if not is_loopback(host):
        raise UsageError(
            f"{host} is not this machine alone (127.0.0.1); there are no accounts yet, so whoever "
            "reached the service could see every landholder's data"
        )
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except (OSError, OverflowError) as error:
        listener.close()
        raise UsageError(f"port {port} cannot be used ({error}); give another") from error
    return listener


def address_of(listener: socket.socket) -> str:
    """Give the address a browser opens."""
    host, port = listener.getsockname()[:2]
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"
