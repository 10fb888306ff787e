"""At which address does a service listen, and under which is it known outside?"""

from __future__ import annotations

import re
import socket
from urllib.parse import urlsplit

from slackwater.errors import UsageError

TAKEN = frozenset({"authorization", "cookie", "host", "origin", "content-type", "content-length",
                   "if-none-match", "x-slackwater-csrf"})  # fmt: skip
"""Headers that browsers send for something else."""


def outer_name(behind: str) -> str:
    """Give the host name, with its port where it has one, of an outer address; "" for none.

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


def header_name(name: str) -> str:
    """Give the name of the header in which a proxy says who signed in; "" for none.

    Raises
    ------
    UsageError
        Where it is no header's name, or one that browsers send for something else.
    """
    if name and (not re.fullmatch(r"[A-Za-z][A-Za-z0-9-]*", name) or name.lower() in TAKEN):
        raise UsageError(
            f"{name!r} is no header for a name; give one that the proxy alone sets, like "
            "X-Signed-In-As"
        )
    return name


def listen(host: str, port: int) -> socket.socket:
    """Take a port; 0 takes any that is free.

    Raises
    ------
    UsageError
        Where it cannot be taken.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # named TCP, so that each answer is sent at once: else its last piece waits 40 ms for a receipt
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
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
