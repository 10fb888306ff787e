"""A lead takes notes over into the register, all at once and with their source, or refuses them.

What is taken over is one edit with basis "measured": it stands in the history, is undone like any
other, and the page shows what moved by it. The notes stay as they are, whatever became of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from slackwater.desk.editing import Check, kept
from slackwater.desk.field.proposals import Proposal, proposals_in
from slackwater.desk.field.standing_notes import says_the_same, standings
from slackwater.desk.field.typed import told
from slackwater.desk.working import Working
from slackwater.desk.written import MOST_OF_REASON, lines, one_line
from slackwater.errors import NotHere, Settled, UsageError
from slackwater.store import Change, Done, Edit
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import ACCEPTED, REFUSED, Note, Run, Settlement

MOST_AT_ONCE = 200
NOT_PROPOSED = "one of these notes is not proposed any more; look again"
NOTHING_TO_DO = "the register says so already, so there is nothing to take over; refuse it instead"
OTHER_REQUEST = "this id stands for another asking already; make a new one"


@dataclass(frozen=True)
class Pick:
    """One note that is taken over.

    Attributes
    ----------
    value : what is to stand in the register where it is not what the note says, else None.
    seen : what the lead saw there; ``checked`` where it is to be held against what stands.
    """

    note_id: str
    value: float | str | None = None
    seen: Any = None
    checked: bool = False


def accept(
    working: Working, request_id: str, picks: Sequence[Pick], why: str, by: str
) -> dict[str, Any]:
    """Take notes over by one edit, once; see `slackwater.desk.editing.make_edit` for the answer.

    Raises
    ------
    NotHere
        Where one of the notes is not there.
    Settled
        Where one is not proposed: contradicted, followed by another, or dealt with before.
    UsageError
        Where a value has to be given, or nothing would change.
    EditConflict, InputFaults
        As `make_edit`; nothing is written then.
    """
    book, check = FieldBook(working.register), Check()
    if before := book.settlements(request_id):
        return _repeated(working, before, {pick.note_id for pick in picks})
    proposed = _proposed(working, book, [pick.note_id for pick in picks])
    taken = [_Taken.of(proposed[pick.note_id], pick) for pick in picks]
    settled = [
        Settlement(each.proposal.note.id, request_id, ACCEPTED, each.value, by, why)
        for each in taken
    ]
    runs = {run.id: run for run in book.runs(dropped=True)}
    edit = _edit(working, request_id, taken, why, by, runs)
    done = book.accept(settled, edit, check)
    return {**kept(working, done, check), "warnings": check.warnings_of(edit.changes)}


def refuse(
    working: Working, request_id: str, note_ids: Sequence[str], why: str, by: str
) -> dict[str, Any]:
    """Write down that notes are not taken over, once.

    Raises
    ------
    NotHere, Settled
        As `accept`.
    """
    book = FieldBook(working.register)
    ids = list(dict.fromkeys(note_ids))
    if before := book.settlements(request_id):
        _require_same(before, set(ids), REFUSED)
        return {"id": request_id, "refused": ids, "repeated": True}
    _proposed(working, book, ids)
    reason = one_line(why, "why it is refused", most=MOST_OF_REASON, needed=True)
    book.refuse([Settlement(each, request_id, REFUSED, None, by, reason) for each in ids])
    return {"id": request_id, "refused": ids, "repeated": False}


@dataclass(frozen=True)
class _Taken:
    """A proposal with the value that is taken over."""

    proposal: Proposal
    value: float | str
    change: Change

    @classmethod
    def of(cls, proposal: Proposal, pick: Pick) -> _Taken:
        note = proposal.note
        value = pick.value if pick.value is not None else proposal.proposed
        if value is None:
            raise UsageError(f"{note.code}: {proposal.words}")
        old = pick.seen if pick.checked else proposal.register
        return cls(proposal, value, Change("offtakes", note.code, proposal.column, old, value))

    @property
    def otherwise(self) -> str:
        """Say what else is taken over than the note says; "" where nothing else is."""
        proposal, note = self.proposal, self.proposal.note
        if proposal.proposed is not None and says_the_same(_plain(self.value), proposal.proposed):
            return ""
        said = f"{told(note.typed)} {note.unit}".strip()
        return f"{note.code} {proposal.column} as {self.value}, where the note says {said}"


def _proposed(working: Working, book: FieldBook, ids: Sequence[str]) -> dict[str, Proposal]:
    """Give the proposals of some notes."""
    if len(set(ids)) != len(ids):
        raise UsageError("each note is named once")
    there = book.notes_by_id(ids)
    if len(there) != len(ids):
        raise NotHere("there is no such note here")
    codes = sorted({note.code for note in there.values()})
    found = standings(book.notes(codes=codes), book.choices(codes=codes))
    settled = [each.note_id for each in book.settlements()]
    proposed = {each.note.id: each for each in proposals_in(working.newest(), found, settled)}
    if not set(ids) <= set(proposed):
        raise Settled(NOT_PROPOSED)
    return proposed


def _edit(
    working: Working,
    request_id: str,
    taken: Sequence[_Taken],
    why: str,
    by: str,
    runs: Mapping[str, Run],
) -> Edit:
    """Give the one edit that takes them over."""
    changes = tuple(each.change for each in taken if each.change.old != each.change.new)
    if not changes:
        raise UsageError(NOTHING_TO_DO)
    notes = [each.proposal.note for each in taken]
    days = sorted({seen_on(working, note) for note in notes})
    names = sorted({runs[note.run_id].name for note in notes})
    others = [each.otherwise for each in taken if each.otherwise]
    spread = [f"seen from {days[0]} to {days[-1]}"] if days[0] != days[-1] else []
    reason = lines(why, "why they are taken over", most=MOST_OF_REASON) or "measured on site"
    return Edit(
        id=request_id,
        changes=changes,
        why="; ".join([reason, *spread, *(f"taken over {other}" for other in others)]),
        by=by,
        basis="measured",
        source=f"visit, run {', '.join(names)}",
        observed_on=days[-1].isoformat(),
    )


def seen_on(working: Working, note: Note) -> date:
    """Give the day a note was written, in the catchment's zone; never after it came in.

    A phone's clock may be ahead.
    """
    at = datetime.fromisoformat(note.at)
    if note.received_at:
        at = min(at, datetime.fromisoformat(note.received_at))
    zone = working.newest().opened.catchment.settings.time_zone
    try:
        return at.astimezone(ZoneInfo(zone)).date() if zone else at.date()
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return at.date()


def _repeated(working: Working, before: Sequence[Settlement], note_ids: set[str]) -> dict[str, Any]:
    """Answer an acceptance that was done before."""
    _require_same(before, note_ids, ACCEPTED)
    past = working.register.edit(before[0].request_id)
    assert past is not None  # written in one transaction
    done = Done(past.id, past.seq, past.at, working.register.standing(), repeated=True)
    return {**kept(working, done, Check()), "warnings": []}


def _require_same(before: Iterable[Settlement], note_ids: set[str], outcome: str) -> None:
    if {(each.note_id, each.outcome) for each in before} != {(i, outcome) for i in note_ids}:
        raise Settled(OTHER_REQUEST)


def _plain(value: float | str) -> float | str:
    return float(value) if isinstance(value, int) else value
