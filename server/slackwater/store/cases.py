"""Which cases are there? Named trials with their results; a shared one never changes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, replace
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from slackwater.errors import NotHere, Settled
from slackwater.store.records import Case
from slackwater.store.schema import CASES

SAID = ("name", "note", "by", "copied_from", "trial")
"""What its maker says of a case; the rest follows from it and from when it was made."""

MANY = (Mapping, list, tuple)


def find_case(connection: Connection, case_id: str) -> Case:
    """Give a case; NotHere where there is none of this id."""
    return _case(_found(connection, case_id, CASES.c))


def data_version_of(connection: Connection, case_id: str) -> str:
    """Give the data version a case rests on, without its result; NotHere where there is none."""
    version: str = _found(connection, case_id, (CASES.c.data_version,))["data_version"]
    return version


def shared_at_of(connection: Connection, case_id: str) -> str:
    """Give when a case was shared, "" where it was not; NotHere where there is none."""
    return _found(connection, case_id, (CASES.c.shared_at,))["shared_at"] or ""


def _found(connection: Connection, case_id: str, columns: Iterable[Any]) -> Any:
    """Give some columns of a case's row.

    Raises
    ------
    NotHere
        Where there is no case of this id.
    """
    row = connection.execute(select(*columns).where(CASES.c.id == case_id)).mappings().first()
    if row is None:
        raise NotHere(f"there is no case {case_id}, or not any more")
    return row


def all_cases(connection: Connection) -> list[Case]:
    """Give every case, the newest first; of its result only what is a single value."""
    columns = [column for column in CASES.c if column.name not in ("result", "result_values")]
    asked = select(*columns, CASES.c.result_values.label("result"))
    asked = asked.order_by(CASES.c.made_at.desc(), CASES.c.id)
    return [_case(row) for row in connection.execute(asked).mappings()]


def put_case(connection: Connection, case: Case) -> Case:
    """Keep a case, once; gives the one that is kept.

    Raises
    ------
    Settled
        Where another case has its id: what is saved never changes.
    """
    if connection.execute(select(CASES.c.id).where(CASES.c.id == case.id)).first():
        kept = find_case(connection, case.id)
        asked = replace(case, trial=json.loads(json.dumps(case.trial)))
        if any(getattr(kept, name) != getattr(asked, name) for name in SAID):
            raise Settled(f"the id {case.id} stands for another case, which never changes")
        return kept
    single = {name: value for name, value in case.result.items() if not isinstance(value, MANY)}
    texts = {"trial": case.trial, "result": case.result, "result_values": single}
    written = {name: json.dumps(value, ensure_ascii=False) for name, value in texts.items()}
    connection.execute(insert(CASES), asdict(case) | written)
    return case


def share(connection: Connection, case_id: str, at: str) -> Case:
    """Mark a case as shared; one that was stays as it is."""
    case = find_case(connection, case_id)
    if case.shared_at:
        return case
    connection.execute(CASES.update().where(CASES.c.id == case_id).values(shared_at=at))
    return replace(case, shared_at=at)


def drop_case(connection: Connection, case_id: str) -> None:
    """Take a case away.

    Raises
    ------
    Settled
        Where it was shared: others may hold a link to it.
    """
    if find_case(connection, case_id).shared_at:
        raise Settled(f"case {case_id} was shared; it stays as it is. Try a change on a copy")
    connection.execute(delete(CASES).where(CASES.c.id == case_id))


def _case(row: Any) -> Case:
    values = {name: value for name, value in row.items() if name != "result_values"}
    values |= {name: json.loads(values[name]) for name in ("trial", "result")}
    return Case(**values)
