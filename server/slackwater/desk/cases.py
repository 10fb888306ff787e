"""Named trials with their results, kept on the data as it stood; what is saved never changes.

A case's numbers are those worked out when it was saved: opened later they come from what was kept,
whatever became of the data or the model since.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from slackwater import MODEL_VERSION
from slackwater.desk.case_result import result_of
from slackwater.desk.comparing import compared, inside_codes
from slackwater.desk.data_between import data_between
from slackwater.desk.long_work import Tell, Values, Work
from slackwater.desk.showing import Shown
from slackwater.desk.trial import Trial, checked, tidied, trial_of
from slackwater.desk.written import lines, one_line
from slackwater.errors import NotHere, Settled, UsageError
from slackwater.progress import Progress
from slackwater.store import Case, Register

IN_HEAD = ("id", "name", "note", "made_at", "by", "shared_at", "copied_from")
DATA_CHANGED_AT = "data_changed_at"
"""Kept with the result: when the data became what the case rests on."""
OF_RESULT = ("budget", "inside_count", "spent", "benefit_share")


@dataclass(frozen=True)
class CaseAsked:
    """A case as it is asked to be kept; ``id`` is a UUID its maker chose."""

    id: str
    name: str
    trial: Trial
    note: str = ""
    by: str = "lead"
    copied_from: str = ""


def case_of(asked: Mapping[str, Any]) -> CaseAsked:
    """Give a case from plain values, its text as it is kept.

    Raises
    ------
    UsageError
        Where a text cannot be kept.
    """
    return CaseAsked(
        id=asked["id"],
        name=one_line(asked["name"], "the name of a case", needed=True),
        note=lines(asked["note"], "the note of a case"),
        by=one_line(asked["by"], "who saves this", needed=True),
        copied_from=asked["copied_from"],
        trial=tidied(trial_of(asked["trial"])),
    )


def make_case(register: Register, shown: Shown, asked: CaseAsked) -> Work:
    """Give the work of working a trial out and keeping it; done before, it gives what was kept.

    Raises
    ------
    UsageError
        Where the trial cannot be worked out on these data.
    Settled
        Where the id stands for another case.
    """
    kept = _kept_already(register, asked)
    if kept is not None:
        found = case_values(register, kept)
        return lambda _progress, _tell: found
    if asked.copied_from:
        _require_case(register, asked.copied_from)
    trial = checked(asked.trial, shown.view.evaluation)

    data_version = shown.view.catchment.data_version

    def work(progress: Progress, _tell: Tell) -> Values:
        register.pin(data_version)  # the database may go on while this is worked out
        result = result_of(shown, trial, progress)
        progress.advance(0)  # told to stop, nothing is kept
        case = Case(
            id=asked.id,
            name=asked.name,
            note=asked.note,
            made_at=datetime.now(UTC).isoformat(timespec="milliseconds"),
            by=asked.by,
            data_version=data_version,
            model_version=MODEL_VERSION,
            copied_from=asked.copied_from,
            trial=trial.as_dict(),
            result={**result, DATA_CHANGED_AT: _came_at(register, data_version)},
        )
        return case_values(register, register.save_case(case))

    return work


def case_heads(register: Register) -> dict[str, Any]:
    """Give every case without its rows, the newest first."""
    present = register.standing().data_version
    return {"cases": [head_of(case, present) for case in register.cases()]}


def case_values(register: Register, case: Case) -> dict[str, Any]:
    """Give a case with its trial, its result as it was kept, and which data it rests on."""
    head = head_of(case, register.standing().data_version)
    result = {name: value for name, value in case.result.items() if name != DATA_CHANGED_AT}
    return {
        **head,
        "trial": dict(case.trial),
        "result": result,
        "data": {
            "data_version": case.data_version,
            "changed_at": case.result[DATA_CHANGED_AT],
            "is_present": head["on_present_data"],
        },
    }


def head_of(case: Case, present: str) -> dict[str, Any]:
    """Give what a list of cases tells of one; ``present`` is the data version that stands."""
    return {
        **{name: getattr(case, name) or None for name in IN_HEAD},
        "note": case.note,
        "data_version": case.data_version,
        "model_version": case.model_version,
        "on_present_data": case.data_version == present,
        "way": case.trial["way"],
        **{name: case.result[name] for name in OF_RESULT},
    }


def share_case(register: Register, case_id: str) -> dict[str, Any]:
    """Mark a case as shared, for good.

    Raises
    ------
    NotHere
        Where there is none.
    """
    at = datetime.now(UTC).isoformat(timespec="milliseconds")
    return case_values(register, register.share_case(case_id, at))


def compare_cases(register: Register, one_id: str, other_id: str) -> dict[str, Any]:
    """Say who is inside one of two cases alone and why, what differs, and what it costs and gains.

    Raises
    ------
    NotHere
        Where one of them is not there.
    """
    one, other = register.case(one_id), register.case(other_id)
    present = register.standing().data_version
    moved = inside_codes(one) ^ inside_codes(other)
    data = data_between(register, one.data_version, other.data_version, moved)
    currency = str(register.raw().settings.get("currency", ""))
    return {
        "one": head_of(one, present),
        "other": head_of(other, present),
        **compared(one, other, data, currency),
    }


def _kept_already(register: Register, asked: CaseAsked) -> Case | None:
    """Give the case of this id where it says the same."""
    try:
        kept = register.case(asked.id)
    except NotHere:
        return None
    says = (asked.name, asked.note, asked.by, asked.copied_from, asked.trial)
    if says != (kept.name, kept.note, kept.by, kept.copied_from, trial_of(kept.trial)):
        raise Settled("this id stands for another case, and what is saved never changes")
    return kept


def _require_case(register: Register, case_id: str) -> None:
    try:
        register.case(case_id)
    except NotHere:
        raise UsageError("the case this one is copied from is not here") from None


def _came_at(register: Register, data_version: str) -> str:
    """Give when the data last became this version, ISO, UTC; "" where nobody knows."""
    standing = register.standing()
    if standing.data_version == data_version:
        return standing.changed_at
    before = None
    while edits := register.history(before_seq=before):
        for past in edits:
            if past.data_version == data_version:
                return past.at
        before = edits[-1].seq
    return ""
