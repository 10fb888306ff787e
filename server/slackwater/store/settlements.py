"""What did a lead make of which note? Said once, and never changed."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from sqlalchemy import Connection, insert, select

from slackwater.errors import Settled
from slackwater.store.field_records import ACCEPTED, Settlement
from slackwater.store.field_schema import SETTLEMENTS

COLUMNS = tuple(column for column in SETTLEMENTS.c if column.name != "edit_id")


def all_settlements(connection: Connection, request_id: str = "") -> list[Settlement]:
    """Give what was made of every note, or of those of one asking."""
    asked = select(*COLUMNS).order_by(SETTLEMENTS.c.at, SETTLEMENTS.c.note_id)
    if request_id:
        asked = asked.where(SETTLEMENTS.c.request_id == request_id)
    return [_settlement(row) for row in connection.execute(asked).mappings()]


def add_settlements(connection: Connection, settled: Iterable[Settlement]) -> None:
    """Add what was made of some notes.

    Raises
    ------
    Settled
        Where something was made of one of them before.
    """
    listed = list(settled)
    ids = [each.note_id for each in listed]
    asked = select(SETTLEMENTS.c.note_id).where(SETTLEMENTS.c.note_id.in_(ids))
    if connection.execute(asked).first():
        raise Settled("one of these notes was accepted or refused already; look again")
    connection.execute(insert(SETTLEMENTS), [_row(each) for each in listed])


def _row(settled: Settlement) -> dict[str, Any]:
    edit_id = settled.request_id if settled.outcome == ACCEPTED else None
    return asdict(settled) | {"value": json.dumps(settled.value), "edit_id": edit_id}


def _settlement(row: Mapping[Any, Any]) -> Settlement:
    return Settlement(**{**row, "value": json.loads(row["value"])})
