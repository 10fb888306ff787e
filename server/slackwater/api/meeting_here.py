"""Which meeting is meant, and who asks there? What every endpoint of a meeting takes.

No role counts and no cookie is read: a meeting asks for its code, its facilitator for the key.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Header, Request
from starlette.types import Scope

from slackwater.api.guards import is_loopback
from slackwater.api.meeting_limits import OWN, MeetingLimits
from slackwater.api.rate_limits import address_of
from slackwater.desk.meeting.live import LiveMeeting
from slackwater.desk.meeting.rooms import NoMeeting, Rooms
from slackwater.errors import NotAllowed

LONGEST = 200
"""Characters of a token or key that are looked at; ours have 43."""


class NotFromHere(NotAllowed):
    """What the facilitator does is taken from this machine alone, so that no key travels."""

    def __init__(self) -> None:
        super().__init__("here the facilitator is heard on the machine that serves the meeting")


@dataclass(frozen=True)
class MeetingDoor:
    """Where phones reach the meetings, and from where their facilitators are heard.

    Attributes
    ----------
    root : address that phones open, without a slash at its end; "" where they cannot reach it.
    near_only : whether facilitators are heard from this machine alone.
    any_host : whether it answers under whatever name a network calls it.
    """

    root: str = ""
    near_only: bool = False
    any_host: bool = False

    def join(self, code: str) -> str:
        """Give the address a phone opens, "" where it could not."""
        return f"{self.root}/meet/{code}" if self.root else ""

    @property
    def join_short(self) -> str:
        """Give what people type, before the code; "" where they could not."""
        return f"{self.root.partition('://')[2]}/meet" if self.root else ""


def is_near(scope: Scope) -> bool:
    """Whether a request comes from this machine itself, by loopback or by an address of its own."""
    client, server = (scope.get("client") or ("",))[0], (scope.get("server") or ("",))[0]
    return is_loopback(client) or (bool(client) and client == server)


def door_of(request: Request) -> MeetingDoor:
    """Give where phones reach this service."""
    door: MeetingDoor = request.app.state.meeting_door
    return door


def rooms_of(request: Request) -> Rooms:
    """Give the meetings of this service; NoMeeting where none can be opened."""
    rooms: Rooms | None = request.app.state.rooms
    if rooms is None:
        raise NoMeeting
    return rooms


def limits_of(request: Request) -> MeetingLimits:
    """Give who is counted in meetings."""
    limits: MeetingLimits = request.app.state.meeting_limits
    return limits


RoomsHere = Annotated[Rooms, Depends(rooms_of)]
DoorHere = Annotated[MeetingDoor, Depends(door_of)]
LimitsHere = Annotated[MeetingLimits, Depends(limits_of)]
PhoneToken = Annotated[
    str, Header(alias="X-Slackwater-Phone", description="token of a phone that joined")
]
KeySaid = Annotated[str, Header(alias="X-Slackwater-Key", description="the facilitator's key")]


def _live(
    request: Request,
    rooms: RoomsHere,
    limits: LimitsHere,
    meeting_code: str,
    phone: PhoneToken = "",
    key: KeySaid = "",
) -> LiveMeeting:
    """Find a meeting by its code; whoever guesses codes is told nothing more for a while."""
    live, address = rooms.here(meeting_code), address_of(request.scope)
    leads = live is not None and live.holds_key(key[:LONGEST])
    is_in = live is not None and bool(live.phone_digest(phone[:LONGEST]))
    if not (leads or is_in):
        limits.require_no_guesser(address)
    if not (leads or (is_in and OWN.fullmatch(request.url.path))):  # those are counted apart
        limits.count_look(address)
    try:
        return rooms.of(meeting_code)
    except NoMeeting as none:
        if not none.ended:
            limits.count_wrong_code(address)
        raise


LiveHere = Annotated[LiveMeeting, Depends(_live)]
"""The meeting of the code in the address, while it is on."""


def _led(request: Request, live: LiveHere, door: DoorHere, key: KeySaid = "") -> LiveMeeting:
    if door.near_only and not is_near(request.scope):
        raise NotFromHere
    live.require_key(key[:LONGEST])
    return live


LedHere = Annotated[LiveMeeting, Depends(_led)]
"""The meeting of the code in the address, for whoever has its key."""


def _number(live: LiveHere, phone: PhoneToken = "") -> int:
    return live.number_of(phone[:LONGEST])


PhoneHere = Annotated[int, Depends(_number)]
"""Number of the phone that asks."""
