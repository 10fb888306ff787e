"""Under which addresses do others reach this machine? Found without sending anything."""

from __future__ import annotations

import ipaddress
import socket
import struct
from contextlib import suppress

NOWHERE = ("192.0.2.1", 9)
"""An address for documentation (RFC 5737): asking the way to it sends nothing."""
ASK_ADDRESS = 0x8915
"""SIOCGIFADDR of Linux: the address of an interface."""


def own_addresses() -> list[str]:
    """Give this machine's IPv4 addresses on networks, the one with the way out first.

    Without a way out, as on a hotspot of its own, those of its interfaces.
    """
    found = [_towards(NOWHERE), *_of_interfaces(), *_of_name()]
    return list(dict.fromkeys(each for each in found if _is_reached(each)))


def _towards(address: tuple[str, int]) -> str:
    """Give which address would be used towards another; "" where no way leads there."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking, suppress(OSError):
        asking.connect(address)  # of a datagram socket: looks up the way, sends nothing
        return str(asking.getsockname()[0])
    return ""


def _of_interfaces() -> list[str]:
    """Give the addresses of all interfaces, where the system says them this way."""
    try:
        import fcntl  # noqa: PLC0415 - not on every system
    except ImportError:
        return []
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        for _, name in socket.if_nameindex():
            with suppress(OSError):
                asked = struct.pack("256s", name.encode()[:15])
                answer = fcntl.ioctl(asking.fileno(), ASK_ADDRESS, asked)
                found.append(socket.inet_ntoa(answer[20:24]))
    return found


def _of_name() -> list[str]:
    with suppress(OSError):
        return [str(each[4][0]) for each in socket.getaddrinfo(socket.gethostname(), None)]
    return []


def _is_reached(address: str) -> bool:
    """Whether others can reach it: of IPv4, and neither this machine alone nor nowhere."""
    try:
        found = ipaddress.IPv4Address(address)
    except ValueError:
        return False
    return not (found.is_loopback or found.is_unspecified or found.is_link_local)
