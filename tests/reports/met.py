"""A meeting that was held and closed: its room is the real one, its phones are invented."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from functools import cached_property
from typing import Any

from shapely import Point

from slackwater.desk.meeting.minutes import minutes_facts
from slackwater.desk.meeting.now import lead_values, room_values
from slackwater.desk.meeting.shown import MeetingShown, Opening, meeting_shown
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.showing import Shown
from slackwater.desk.times import written_at
from slackwater.meeting.phones import Place
from slackwater.meeting.room import Room
from tests.catchment.small import small
from tests.contracts.seeded import view_of
from tests.reports.cases import case_of

HALL = timezone(timedelta(hours=10))
OPENED = datetime(2026, 11, 29, 19, 2, tzinfo=HALL)
ENDED = OPENED + timedelta(minutes=89)
WALKED = ((6, "problem"), (15, "list"), (20, "problem"), (22, "list"), (48, "room"), (80, "choice"))
"""Minutes after the opening, and the step gone to; the river comes first."""
REACHES = ("up", "mid", "low")
PLACES = (Point(10.02, 50.015), Point(10.08, 50.0), Point(10.25, 50.01))
SWIMMING = "SECRET-PLACE where we swim"


@dataclass(frozen=True)
class Met:
    """A meeting.

    Attributes
    ----------
    levels : of each phone that tried a weighting, in the order of the criteria.
    groups : for whom phones speak, in the order of joining; further ones say nothing.
    agreed : what, words, what is left open.
    agreed_case : what the agreed trial was kept as.
    """

    case: CaseShown
    levels: Sequence[Sequence[int]] = ()
    groups: Sequence[str] = ()
    silent: int = 0
    agreed: tuple[str, str, str] = ("", "", "")
    agreed_case: CaseShown | None = None
    ended_at: datetime = ENDED

    @cached_property
    def shown(self) -> MeetingShown:
        """What everyone was told of the case."""
        opening = Opening("K7RM4P", written_at(OPENED), written_at(OPENED + timedelta(hours=6)))
        return meeting_shown(self.case, opening)

    @cached_property
    def room(self) -> Room:
        """The room as it stood at the end."""
        at = [OPENED]
        room = Room(self.shown.basis, clock=lambda: written_at(at[0]))
        for number in range(max(len(self.levels), len(self.groups)) + self.silent):
            self._sit_down(room, number)
        for minute, step in WALKED:
            at[0] = OPENED + timedelta(minutes=minute)
            room.step(step)
        if self.agreed[0] == "trial":
            room.show_trial(True)
        room.agree(*self.agreed, 0)
        return room

    def _sit_down(self, room: Room, number: int) -> None:
        phone = room.join(f"digest {number}")
        said = dict(enumerate(self.levels)).get(number)
        levels = dict(zip(self.shown.basis.criteria, said, strict=True)) if said else None
        room.set_mine(phone, levels, dict(enumerate(self.groups)).get(number, ""))
        room.set_places(phone, [Place(7.31, 3.77, f"{SWIMMING} {number}")])

    @cached_property
    def kept(self) -> Mapping[str, Any]:
        """The facts of its minutes, as they come back out of a database."""
        facts = minutes_facts(
            self.case,
            self.shown.values,
            lead_values(self.room.lead(), self.shown),
            room=room_values(self.room.now(), self.shown, most_turns=None),
            agreed_case=self.agreed_case,
            ended_at=self.ended_at,
            zone=HALL,
        )
        return json.loads(json.dumps(facts))


def riverside() -> CaseShown:
    """Give a case of twelve offtakes of all sizes and seasons, so that opinions matter."""
    of = small()
    for number in range(9):
        months = {f"use_{month:02d}": str(round(((month * (number + 2)) % 7) / 7, 2))
                  for month in range(1, 13)}  # fmt: skip
        of.append("offtakes", 0, offtake_id=f"P{number}", landholder=f"Holder {number + 4}",
                  licence=f"1{number}", capacity_m3s=f"{0.05 * (number + 1):.2f}",
                  reach_id=REACHES[number % 3], chainage_m="", **months)  # fmt: skip
        of.set("offtakes", 3 + number, "geometry", PLACES[number % 3])
    return case_of(Shown(view_of(of)), 200_000.0)
