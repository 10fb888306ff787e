"""Which meetings are there? One row a meeting; what goes on in it is written as a whole."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, insert, select, update

from slackwater.store.cases import find_case
from slackwater.store.meeting_schema import MEETINGS

END_ALL = "UPDATE meetings SET ended_at = :at, key_digest = '', state = '' WHERE ended_at = ''"
WITHOUT_MINUTES = [each for each in MEETINGS.c if each.name not in ("state", "minutes")]


@dataclass(frozen=True)
class Meeting:
    """A meeting on a shared case; times are ISO, UTC.

    Attributes
    ----------
    code : six letters and digits, of no other meeting that is kept.
    key_digest : of the facilitator's key, "" once it has ended.
    ended_at, agreed_case_id : "" as long as there is none.
    state : how it stands, to be taken up again; of phones nothing.
    minutes : plain values, empty where there are none.
    """

    id: str
    code: str
    case_id: str
    key_digest: str
    opened_at: str
    by: str
    ends_at: str
    ended_at: str = ""
    state: Mapping[str, Any] = field(default_factory=dict)
    minutes: Mapping[str, Any] = field(default_factory=dict)
    agreed_case_id: str = ""


@dataclass(frozen=True)
class MeetingHead:
    """What a list tells of one; ``minutes`` says whether there are any."""

    code: str
    case_id: str
    opened_at: str
    by: str
    ends_at: str
    ended_at: str
    minutes: bool


def add_meeting(connection: Connection, meeting: Meeting) -> None:
    """Keep a new meeting; NotHere where its case is not there."""
    find_case(connection, meeting.case_id)
    values = {name: getattr(meeting, name) for name in MEETINGS.c.keys()}  # noqa: SIM118
    values |= {name: _written(values[name]) for name in ("state", "minutes")}
    connection.execute(insert(MEETINGS), values)


def meeting_of_code(connection: Connection, code: str) -> Meeting | None:
    """Give a meeting, ended or not; None where there never was one of the code."""
    row = connection.execute(select(MEETINGS).where(MEETINGS.c.code == code)).mappings().first()
    if row is None:
        return None
    read = {name: json.loads(row[name]) if row[name] else {} for name in ("state", "minutes")}
    return Meeting(**{**row, **read})


def open_code_of_case(connection: Connection, case_id: str, now: str) -> str:
    """Give the code of the newest meeting of a case that goes on, "" where there is none."""
    asked = select(MEETINGS.c.code).where(
        MEETINGS.c.case_id == case_id, MEETINGS.c.ended_at == "", MEETINGS.c.ends_at > now
    )
    return connection.execute(asked.order_by(MEETINGS.c.opened_at.desc())).scalar() or ""


def heads_of_meetings(connection: Connection, most: int) -> list[MeetingHead]:
    """Give what a list tells of the newest meetings, the newest first."""
    has = (MEETINGS.c.minutes != "").label("has_minutes")
    asked = select(*WITHOUT_MINUTES, has).order_by(MEETINGS.c.opened_at.desc(), MEETINGS.c.id)
    names = ("code", "case_id", "opened_at", "by", "ends_at", "ended_at")
    return [
        MeetingHead(**{name: row[name] for name in names}, minutes=bool(row["has_minutes"]))
        for row in connection.execute(asked.limit(most)).mappings()
    ]


def put_state(connection: Connection, meeting_id: str, state: Mapping[str, Any]) -> bool:
    """Write how a meeting stands; False where it has ended, and nothing is written then."""
    its = update(MEETINGS).where(MEETINGS.c.id == meeting_id, MEETINGS.c.ended_at == "")
    return connection.execute(its.values(state=_written(state))).rowcount > 0


def put_key(connection: Connection, meeting_id: str, key_digest: str) -> None:
    """Put another key in place of the one there was."""
    its = update(MEETINGS).where(MEETINGS.c.id == meeting_id, MEETINGS.c.ended_at == "")
    connection.execute(its.values(key_digest=key_digest))


def end_meeting(
    connection: Connection,
    meeting_id: str,
    at: str,
    minutes: Mapping[str, Any],
    agreed_case_id: str,
) -> None:
    """Write that a meeting has ended, once; whoever is second changes nothing."""
    its = update(MEETINGS).where(MEETINGS.c.id == meeting_id, MEETINGS.c.ended_at == "")
    values = {"ended_at": at, "minutes": _written(minutes), "agreed_case_id": agreed_case_id}
    connection.execute(its.values(**values, key_digest="", state=""))


def _written(values: Mapping[str, Any]) -> str:
    """Give values as text, "" for none."""
    return json.dumps(dict(values), ensure_ascii=False) if values else ""
