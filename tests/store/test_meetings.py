"""Meetings over both stores: kept as they stand, ended once, never put back as if still on."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from slackwater.errors import NotHere, StoreFailed
from slackwater.store import Register, open_register, restore
from slackwater.store.meetings import (
    Meeting,
    add_meeting,
    end_meeting,
    heads_of_meetings,
    meeting_of_code,
    open_code_of_case,
    put_key,
    put_state,
)
from tests.store.said import case, fresh_id

AT, ENDS = "2026-03-02T09:00:00.000+00:00", "2026-03-02T15:00:00.000+00:00"
STATE = {"led": {"step": "room", "words": "“so” ’twas \U0001f41f"}}
MINUTES = {"agreed": "Start here; ½ of it."}


@pytest.fixture
def meeting(register: Register) -> Meeting:
    """One that is on."""
    case_id = register.save_case(case(register.standing().data_version)).id
    made = Meeting(fresh_id(), "K7RM4P", case_id, "digest", AT, "Ines", ENDS, state=STATE)
    with register.connected.writing() as connection:
        add_meeting(connection, made)
    return made


def kept(register: Register, code: str = "K7RM4P") -> Meeting | None:
    with register.connected.reading() as connection:
        return meeting_of_code(connection, code)


def test_a_meeting_is_found_by_its_code_as_it_was_kept(
    register: Register, meeting: Meeting
) -> None:
    """Its state too, in whatever script; of another code there is none."""
    assert kept(register) == meeting
    assert kept(register, "K7RM4Q") is None
    with register.connected.writing() as connection:
        assert put_state(connection, meeting.id, {"led": {}})
        put_key(connection, meeting.id, "another digest")
    assert kept(register) == replace(meeting, state={"led": {}}, key_digest="another digest")


def test_a_code_stands_for_one_meeting_and_a_meeting_for_one_case(
    register: Register, meeting: Meeting
) -> None:
    """A second of the code is refused whole, one on no case is told as such."""
    with pytest.raises(StoreFailed), register.connected.writing() as connection:
        add_meeting(connection, replace(meeting, id=fresh_id()))
    none = replace(meeting, id=fresh_id(), code="ZZZZZZ", case_id=fresh_id())
    with pytest.raises(NotHere), register.connected.writing() as connection:
        add_meeting(connection, none)
    with register.connected.reading() as connection:
        assert [each.code for each in heads_of_meetings(connection, 9)] == ["K7RM4P"]


def test_a_meeting_ends_once(register: Register, meeting: Meeting) -> None:
    """With its minutes and without its key; what comes after changes nothing."""
    with register.connected.writing() as connection:
        assert open_code_of_case(connection, meeting.case_id, AT) == meeting.code
        assert open_code_of_case(connection, meeting.case_id, ENDS) == ""
        end_meeting(connection, meeting.id, ENDS, MINUTES, meeting.case_id)
        end_meeting(connection, meeting.id, AT, {}, "")
        assert not put_state(connection, meeting.id, STATE)
        put_key(connection, meeting.id, "forged")
        assert open_code_of_case(connection, meeting.case_id, AT) == ""
        head = heads_of_meetings(connection, 1)[0]
    ended = replace(meeting, ended_at=ENDS, minutes=MINUTES, agreed_case_id=meeting.case_id)
    assert kept(register) == replace(ended, key_digest="", state={})
    assert (head.ended_at, head.minutes, head.by) == (ENDS, True, "Ines")


def test_a_backup_carries_minutes_and_no_meeting_that_goes_on(
    register: Register, meeting: Meeting, tmp_path: Path
) -> None:
    """What was on comes back ended, without key and state, also from the bytes of the file; the
    database itself goes on with it."""
    over = replace(meeting, id=fresh_id(), code="ZZZZZZ", state={})
    with register.connected.writing() as connection:
        add_meeting(connection, over)
        end_meeting(connection, over.id, ENDS, MINUTES, "")
    file = tmp_path / "b.sqlite"
    register.backup(file)
    assert kept(register) == meeting
    assert b"twas" not in file.read_bytes()
    with closing(sqlite3.connect(file)) as copy:
        rows = copy.execute("SELECT code, key_digest, ended_at <> '' FROM meetings ORDER BY code")
        assert rows.fetchall() == [("K7RM4P", "", 1), ("ZZZZZZ", "", 1)]
    url = f"sqlite:///{tmp_path}/again.sqlite"
    restore(file, url)
    with closing(open_register(url)) as again:
        assert kept(again, "ZZZZZZ") == replace(over, key_digest="", ended_at=ENDS, minutes=MINUTES)
        found = kept(again)
        assert found is not None
        assert found.ended_at
        assert (found.key_digest, found.state, found.minutes) == ("", {}, {})
