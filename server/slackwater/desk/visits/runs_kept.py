"""Runs that are kept: made once, put in another order, taken off the list; each officer's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from slackwater.desk.field.own_runs import is_own, require_run
from slackwater.desk.field.pack import run_values
from slackwater.desk.working import Working
from slackwater.errors import UsageError
from slackwater.people.roles import Caller, Least
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Run

Days = Sequence[Mapping[str, Any]]


def run_heads(working: Working, caller: Caller) -> list[dict[str, Any]]:
    """Give the runs of a caller, the latest first."""
    runs = [run for run in FieldBook(working.register).runs() if is_own(run, caller)]
    return [_head(run) for run in runs]


def one_run(working: Working, run_id: str, caller: Caller) -> dict[str, Any]:
    """Give a run whole.

    Raises
    ------
    NotHere
        Where it is not there, or another's: told alike.
    """
    return run_values(require_run(FieldBook(working.register), run_id, caller))


def keep_run(working: Working, asked: Mapping[str, Any], caller: Caller, by: str) -> dict[str, Any]:
    """Keep a run, once; whoever is no lead keeps it for themselves.

    Raises
    ------
    UsageError
        Where it has no stops, a stop twice, or one that is not in the register.
    Settled
        Where another run has its id.
    """
    _require_stops(working, asked["days"])
    officer = asked["officer"] if caller.may(Least.LEAD) else caller.name
    run = Run(
        id=asked["id"],
        name=asked["name"].strip(),
        on=asked["on"],
        officer=officer.strip(),
        days=tuple(asked["days"]),
        plan=asked["plan"],
        data_version=working.of().view.catchment.data_version,
        by=by,
    )
    return run_values(FieldBook(working.register).put_run(run))


def reorder_run(
    working: Working, run_id: str, days: Days, plan: Mapping[str, Any] | None, caller: Caller
) -> dict[str, Any]:
    """Put other days in place of a run's; what was noted stays with it.

    Raises
    ------
    NotHere, UsageError
        As `one_run` and `keep_run`.
    """
    book = FieldBook(working.register)
    require_run(book, run_id, caller)
    _require_stops(working, days)
    return run_values(book.put_order(run_id, days, plan))


def drop_run(working: Working, run_id: str, caller: Caller) -> None:
    """Take a run off the list.

    Raises
    ------
    NotHere
        As `one_run`.
    Settled
        Where it has notes.
    """
    book = FieldBook(working.register)
    require_run(book, run_id, caller)
    book.drop_run(run_id)


def _require_stops(working: Working, days: Days) -> None:
    codes = [str(stop["code"]) for day in days for stop in day["stops"]]
    index = working.newest().opened.catchment.table("offtakes").index
    unknown = [code for code in codes if code not in index]
    if not codes:
        raise UsageError("a run has at least one stop")
    if unknown:
        raise UsageError(f"{', '.join(unknown[:5])}: no such offtake in the register")
    if len(set(codes)) != len(codes):
        raise UsageError("a site stands twice in the run")


def _head(run: Run) -> dict[str, Any]:
    return {
        "id": run.id,
        "name": run.name,
        "on": run.on,
        "officer": run.officer,
        "codes": [[str(stop["code"]) for stop in day.get("stops", ())] for day in run.days],
        "data_version": run.data_version,
        "made_at": run.made_at,
        "ordered_at": run.ordered_at,
        "by": run.by,
    }
