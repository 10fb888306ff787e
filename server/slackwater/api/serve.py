"""How does the service come up? Opens a catchment and listens on this machine."""

from __future__ import annotations

import socket
from pathlib import Path

import uvicorn

from slackwater.api.app import create_app
from slackwater.api.guards import is_loopback
from slackwater.desk.map_view import open_map_view
from slackwater.desk.showing import AsRead
from slackwater.errors import UsageError


def serve(path: Path, host: str, port: int) -> None:
    """Open a catchment and serve it until told to stop.

    Raises
    ------
    UsageError
        Where the host is not this machine's own, or the port is taken.
    InputFaults
        Where the catchment's data is at fault.
    """
    listener = listen(host, port)
    with listener:
        view = open_map_view(path)
        app = create_app(AsRead(view))
        print(f"Slackwater serves {view.catchment.name} at {address_of(listener)}", flush=True)
        config = uvicorn.Config(app, log_level="warning", server_header=False, access_log=False)
        uvicorn.Server(config).run(sockets=[listener])


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
