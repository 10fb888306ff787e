"""What is said where a meeting is held on a laptop: to whom it is open, and where everyone goes."""

from __future__ import annotations

import socket
from dataclasses import dataclass
from datetime import datetime

from slackwater.api.guards import is_loopback
from slackwater.api.listening import address_of
from slackwater.api.meeting_here import MeetingDoor
from slackwater.api.own_addresses import own_addresses
from slackwater.desk.meeting.rooms import OpenedMeeting, Rooms
from slackwater.desk.shared_pages import ShownCase
from slackwater.meeting.codes import spaced_code

ANY, HERE = "0.0.0.0", "127.0.0.1"  # noqa: S104 - asked for in words: --open-to-network
CASE = "/case"


@dataclass(frozen=True)
class HeldMeeting:
    """One meeting that is held here.

    Attributes
    ----------
    shown : the public page of its case.
    taken_up : whether it went on from before.
    """

    rooms: Rooms
    shown: ShownCase
    opened: OpenedMeeting
    taken_up: bool


def told(held: HeldMeeting, listener: socket.socket, door: MeetingDoor) -> str:
    """Say what is opened, to whom, until when, and where everyone goes."""
    opened, (host, port) = held.opened, listener.getsockname()[:2]
    own = address_of(listener) if host not in (ANY, "::") else f"http://{HERE}:{port}"
    ends = datetime.fromisoformat(opened.ends_at).astimezone()
    again = "goes on with the" if held.taken_up else "opens a"
    who = "on this machine alone" if is_loopback(host) else "to every machine that reaches this one"
    lines = [
        f"Slackwater {again} meeting on “{held.shown.name}” ({held.shown.catchment}), {who}, "
        "without an account and unencrypted.",
        f"Meeting code  {spaced_code(opened.code)}, until {ends:%H:%M on %d %B}",
        f"Phones        {door.join(opened.code) or _no_phones(host)}",
        f"Wall          {own}/meet/{opened.code}/wall#{opened.key}",
        f"Facilitator   {own}/meet/{opened.code}/lead#{opened.key}",
        f"Public page   {door.root or own}{CASE}",
        *_other_addresses(host, door),
        "The key behind the # is for whoever leads the meeting; it is taken from this machine "
        "alone.",
        "Nothing else can be read here: no names, quotes or exact places, no other case, no data "
        "of the agency. It ends with this command, and goes on where it is given again.",
    ]
    return "\n".join(lines)


def _no_phones(host: str) -> str:
    if is_loopback(host):
        return "cannot reach this machine; --open-to-network lets them"
    return "no network was found; begin it before this command, or name it with --host"


def _other_addresses(host: str, door: MeetingDoor) -> list[str]:
    """Name this machine's other networks, where phones may be on one of those."""
    others = own_addresses()[1:] if host in (ANY, "::") and door.root else []
    if not others:
        return []
    return [f"Also reached  by {', '.join(others)}; --host takes one for the phones' address"]
