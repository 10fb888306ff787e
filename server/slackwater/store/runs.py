"""Which runs are there? Their stops may be put in another order; what was noted stays with them."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from sqlalchemy import Connection, insert, select, update

from slackwater.errors import NotHere, Settled
from slackwater.store.field_records import Run
from slackwater.store.field_schema import NOTES, RUNS

NO_SUCH_RUN = "there is no such run here"
SAID = ("name", "on", "officer", "days", "plan", "by")
"""What its maker says of a run; by this a repeat is known."""
MOVED = ("days", "plan")
"""What another order of the stops changes."""


def find_run(connection: Connection, run_id: str) -> Run:
    """Give a run, also one that was dropped.

    Raises
    ------
    NotHere
        Where there is none of this id.
    """
    row = connection.execute(select(RUNS).where(RUNS.c.id == run_id)).mappings().first()
    if row is None:
        raise NotHere(NO_SUCH_RUN)
    return _run(row)


def all_runs(connection: Connection, *, dropped: bool = False) -> list[Run]:
    """Give every run, the latest first; one dropped only where it has notes, or it is asked for."""
    asked = select(RUNS).order_by(RUNS.c.on.desc(), RUNS.c.made_at.desc(), RUNS.c.id)
    runs = [_run(row) for row in connection.execute(asked).mappings()]
    noted = set(connection.execute(select(NOTES.c.run_id).distinct()).scalars())
    return [run for run in runs if dropped or not run.dropped_at or run.id in noted]


def put_run(connection: Connection, run: Run) -> Run:
    """Keep a run, once; gives the one that is kept.

    Raises
    ------
    Settled
        Where another run has its id.
    """
    if connection.execute(select(RUNS.c.id).where(RUNS.c.id == run.id)).first():
        kept, asked = find_run(connection, run.id), _run(_row(run))
        fixed = [name for name in SAID if name not in MOVED or not kept.ordered_at]
        if any(getattr(kept, name) != getattr(asked, name) for name in fixed):
            raise Settled(f"the id {run.id} stands for another run already; make a new one")
        return kept
    connection.execute(insert(RUNS), _row(run))
    return _run(_row(run))


def put_order(
    connection: Connection,
    run_id: str,
    days: Sequence[Mapping[str, Any]],
    plan: Mapping[str, Any] | None,
    at: str,
) -> Run:
    """Put a run's days in place of those it had; NotHere where there is none."""
    run = find_run(connection, run_id)
    moved = replace(
        run, days=tuple(days), plan=run.plan if plan is None else plan, ordered_at=at
    )  # fmt: skip
    row = _row(moved)
    written = {name: row[name] for name in ("days", "plan", "ordered_at")}
    connection.execute(update(RUNS).where(RUNS.c.id == run_id).values(**written))
    return _run(row)


def drop_run(connection: Connection, run_id: str, at: str) -> None:
    """Take a run off the list. A phone may still hold it: notes that come later are kept with it.

    Raises
    ------
    NotHere
        Where there is none of this id.
    Settled
        Where it has notes.
    """
    find_run(connection, run_id)
    if connection.execute(select(NOTES.c.id).where(NOTES.c.run_id == run_id).limit(1)).first():
        raise Settled("this run has notes; it stays, and so do they")
    connection.execute(update(RUNS).where(RUNS.c.id == run_id).values(dropped_at=at))


def _row(run: Run) -> dict[str, Any]:
    written = {
        name: json.dumps(getattr(run, name), ensure_ascii=False) for name in ("days", "plan")
    }
    return asdict(run) | written


def _run(row: Mapping[Any, Any]) -> Run:
    read = {"days": tuple(json.loads(row["days"])), "plan": json.loads(row["plan"])}
    return Run(**{**row, **read})
