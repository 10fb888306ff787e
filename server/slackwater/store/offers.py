"""How do the offers stand? Step after step, each added and none changed."""

from __future__ import annotations

from dataclasses import asdict, replace

from sqlalchemy import Connection, func, insert, select

from slackwater.errors import UsageError
from slackwater.store.records import OfferStep
from slackwater.store.schema import OFFER_STEPS

COLUMNS = [column for column in OFFER_STEPS.c if column.name != "number"]


def is_repeat(connection: Connection, step: OfferStep) -> bool:
    """Whether this step is kept already.

    Raises
    ------
    UsageError
        Where its id stands for another step.
    """
    asked = select(*COLUMNS).where(OFFER_STEPS.c.id == step.id)
    found = connection.execute(asked).first()
    if found is None:
        return False
    kept = OfferStep(**found._mapping)
    if replace(kept, at=step.at) != step:
        raise UsageError(f"the id {step.id} stands for another step already; make a new one")
    return True


def add_step(connection: Connection, step: OfferStep) -> None:
    """Add a step at the end."""
    last = connection.execute(select(func.max(OFFER_STEPS.c.number))).scalar()
    connection.execute(insert(OFFER_STEPS), {**asdict(step), "number": (last or 0) + 1})


def steps_of(connection: Connection, code: str) -> list[OfferStep]:
    """Give the steps of one offtake, or of all where none is named, oldest first."""
    asked = select(*COLUMNS).order_by(OFFER_STEPS.c.number)
    if code:
        asked = asked.where(OFFER_STEPS.c.code == code)
    return [OfferStep(**row) for row in connection.execute(asked).mappings()]
