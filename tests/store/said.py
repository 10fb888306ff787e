"""Short ways to say an edit, a case, an offer step, and to check a catchment."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from slackwater.catchment.raw import RawCatchment
from slackwater.catchment.understand import understand
from slackwater.errors import InputFaults
from slackwater.store import Case, Change, Edit, OfferStep, Register


def fresh_id() -> str:
    """Give a new UUID."""
    return str(uuid4())


def check(raw: RawCatchment) -> str:
    """Give the data version of a catchment without fault."""
    understood = understand(raw)
    if understood.catchment is None:
        raise InputFaults(understood.faults)
    return understood.catchment.data_version


def cell(register: Register, table: str, key: str, column: str) -> Any:
    """Give a cell as it stands, of a table with one key column."""
    found = register.raw().tables[table]
    key_column = {"offtakes": "offtake_id", "reaches": "reach_id"}[table]
    return found.cells[column][list(found.cells[key_column]).index(key)]


def capacity(old: float, new: Any, code: str = "0012") -> Change:
    """Change how much an offtake can draw."""
    return Change("offtakes", code, "capacity_m3s", old, new)


def edit(*changes: Change, **more: Any) -> Edit:
    """Make an edit with a new id."""
    return Edit(more.pop("id", "") or fresh_id(), changes, more.pop("why", "seen on site"), **more)


def case(data_version: str, **more: Any) -> Case:
    """Make a case with a new id."""
    said = {"name": "By the ford", "note": "", "made_at": "2026-03-01T00:00:00+00:00",
            "by": "lead", "model_version": "1", "trial": {"budget": 5},
            "result": {"spent": 4, "rows": [{"code": "0012"}]}}  # fmt: skip
    return Case(id=fresh_id(), data_version=data_version, **said | more)


def step(code: str = "0012", **more: Any) -> OfferStep:
    """Make a step of an offer with a new id."""
    return OfferStep(
        **{"id": fresh_id(), "code": code, "step": "offered", "on": "2026-02-03"} | more
    )
