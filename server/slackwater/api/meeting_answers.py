"""A meeting at the web door, for whoever has its code: what is shown, and what a phone says.

No account, no cookie, no name; a phone is known by the token it was given on joining.
"""

from __future__ import annotations

import hashlib
import io
from typing import Annotated, Any

import segno
from fastapi import FastAPI, Header, Request
from fastapi.responses import Response

from slackwater.api import answers
from slackwater.api.etag import holds
from slackwater.api.least_role import least
from slackwater.api.meeting_here import DoorHere, LimitsHere, LiveHere, MeetingDoor, PhoneHere
from slackwater.api.meeting_news import answer_news
from slackwater.api.meeting_pulse import as_text
from slackwater.api.rate_limits import address_of
from slackwater.desk.meeting.live import LiveMeeting
from slackwater.errors import NotHere
from slackwater.meeting.phones import Place
from slackwater.people.roles import Least

MEETING = "/api/meet/{meeting_code}"
JSON = "application/json"
SVG = {"content": {"image/svg+xml": {"schema": {"type": "string"}}}}
QUIET_ZONE = 4
"""Modules of white around the code, as its standard (ISO/IEC 18004) asks for."""


class NoAddress(NotHere):
    """Phones cannot reach this service, so there is nothing to point them at."""

    def __init__(self) -> None:
        super().__init__("phones cannot reach this service, so there is no address for them")


def answer_meeting(app: FastAPI) -> None:
    """Add what walls and phones ask (least role: a meeting's code)."""

    @app.get(MEETING, response_model=answers.MeetingAnswer, **least(Least.MEETING))
    def meeting(
        live: LiveHere, door: DoorHere, if_none_match: Annotated[str, Header()] = ""
    ) -> Response:
        """All of a meeting that stays as it is as long as it lasts."""
        text = as_text(static_values(live, door))
        tag = f'W/"{hashlib.sha256(text.encode()).hexdigest()[:24]}"'
        headers = {"ETag": tag, "Cache-Control": "private, no-cache"}
        if holds(if_none_match, tag):
            return Response(status_code=304, headers=headers)
        return Response(text, media_type=JSON, headers=headers)

    @app.get(f"{MEETING}/now", response_model=answers.NowAnswer, **least(Least.MEETING))
    def now(live: LiveHere) -> Response:
        """What the wall shows just now."""
        return Response(as_text(live.now()), media_type=JSON)

    answer_news(app)

    @app.get(
        f"{MEETING}/qr.svg",
        response_class=Response,
        responses={200: SVG},
        **least(Least.MEETING),
    )
    def qr(live: LiveHere, door: DoorHere) -> Response:
        """The address phones open, as a square to be read by their cameras."""
        address = door.join(live.code)
        if not address:
            raise NoAddress
        return Response(drawn(address), media_type="image/svg+xml")

    @app.post(f"{MEETING}/join", response_model=answers.Joined, **least(Least.MEETING))
    def join(
        request: Request, live: LiveHere, limits: LimitsHere, _: answers.JoinAsked | None = None
    ) -> Any:
        """Let a phone in."""
        limits.count_join(address_of(request.scope))
        token, number = live.join()
        return {"phone": token, "number": number}

    _answer_own(app)


def _answer_own(app: FastAPI) -> None:
    """Add what a phone says and asks of itself; `Mannered` stands before it."""

    @app.put(f"{MEETING}/mine", response_model=answers.MineKept, **least(Least.MEETING))
    def set_mine(live: LiveHere, phone: PhoneHere, asked: answers.MineAsked) -> Any:
        """Take a phone's own weights and group; answers what they fund by score."""
        return live.set_mine(phone, asked.levels, asked.group)

    @app.put(f"{MEETING}/mine/places", status_code=204, **least(Least.MEETING))
    def set_places(live: LiveHere, phone: PhoneHere, asked: answers.PlacesAsked) -> None:
        """Take the places a phone marks, for its facilitator's eyes."""
        live.set_places(phone, [Place(each.x, each.y, each.words) for each in asked.places])

    @app.get(f"{MEETING}/mine", response_model=answers.Mine, **least(Least.MEETING))
    def mine(live: LiveHere, phone: PhoneHere) -> Any:
        """What this phone said."""
        return live.mine(phone)


def static_values(live: LiveMeeting, door: MeetingDoor) -> dict[str, Any]:
    """Give what stays as it is, with the address phones open."""
    return {
        **live.static(),
        "join": door.join(live.code),
        "join_short": door.join_short,
    }


def drawn(address: str) -> bytes:
    """Draw an address as an SVG, black on white, without a style of its own."""
    picture = io.BytesIO()
    segno.make(address, micro=False, error="m").save(
        picture, kind="svg", border=QUIET_ZONE, dark="#000", light="#fff", omitsize=True,
        svgclass=None, lineclass=None,
    )  # fmt: skip
    return picture.getvalue()
