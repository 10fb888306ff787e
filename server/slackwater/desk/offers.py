"""Follow-up of offers: what was offered, accepted, declined and built, for what money.

Steps are only ever added. A step that moves an offer sets the offtake's ``status`` in the same
transaction, so that the two never differ. All of it is for the lead; the public hears nothing of
who declined (see `status_shown`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any
from uuid import UUID, uuid5

from slackwater.catchment.raw import RawCatchment
from slackwater.desk.editing import Check, kept
from slackwater.desk.offer_rules import Offer, Step, check_step, next_of, warnings_of
from slackwater.desk.offers_counted import Counted, counted_in, totals_of
from slackwater.desk.working import Working
from slackwater.desk.written import MOST_OF_NOTE, lines, one_line
from slackwater.errors import NotHere, Settled
from slackwater.store import Change, Edit, OfferStep, Register

STATUS, CANDIDATE = "status", "candidate"
FOLLOWED = ("offered", "accepted", "declined", "built")
BINDING = ("accepted", "built")


def all_offers(working: Working) -> dict[str, Any]:
    """Give every offtake with a step or a status that says of one, and what is bound and spent."""
    offers = _offers(working.register)
    counted = counted_in(working.of().view.evaluation)
    return {
        "offers": [offer_values(offer, counted.get(offer.code)) for offer in offers],
        "committed_total": sum(_bound(offer) for offer in offers),
        "spent_total": sum(offer.spent or 0.0 for offer in offers),
        **totals_of(offers, counted),
    }


def committed_sums(register: Register) -> dict[str, float]:
    """Give code -> money committed, of those whose offer binds money."""
    return {
        offer.code: offer.committed
        for offer in _offers(register)
        if offer.status in BINDING and offer.committed is not None
    }


def offer_values(offer: Offer, counted: Counted | None) -> dict[str, Any]:
    """Give one offer as plain values, beside what the list shown counts for it."""
    told = counted if counted and offer.status == Step.ACCEPTED else None
    return {
        "code": offer.code,
        "status": offer.status,
        "steps": [_step_values(step) for step in offer.steps],
        "committed": offer.committed,
        "counted": told.cost if told else None,
        "screen_note": told.screen_note if told else "",
        "spent": offer.spent,
        "works_approval": offer.works_approval,
        "heritage": offer.heritage,
        "next": next_of(offer),
        "warnings": warnings_of(offer),
    }


def step_of(asked: Mapping[str, Any]) -> OfferStep:
    """Give a step from the values it was asked with."""
    return OfferStep(**asked)


def add_step(working: Working, step: OfferStep) -> dict[str, Any]:
    """Write a step down, once, and with it the offtake's status.

    Raises
    ------
    NotHere
        Where there is no such offtake.
    UsageError
        Where the step cannot follow, or its text cannot be kept.
    Settled
        Where its id stands for another step.
    EditConflict
        Where the status was changed meanwhile.
    """
    register = working.register
    step = _tidied(step)
    now = _statuses(register.raw())
    if step.code not in now:
        raise NotHere("there is no such offtake here")
    steps = register.offer_steps(step.code)
    offer = Offer(step.code, now[step.code] or CANDIDATE, tuple(steps))
    kept_step = next((each for each in steps if each.id == step.id), None)
    if kept_step is not None:
        if replace(kept_step, at="") != step:
            raise Settled(f"the id {step.id} stands for another step already; make a new one")
        return {**_answer(working, offer), "repeated": True}
    check_step(offer, step)
    check = Check()
    done = register.add_offer_step(step, _status_edit(step, now[step.code]), check)
    if done is not None:
        kept(working, done, check)
    status = offer.status if Step(step.step) is Step.NOTE else step.step
    after = Offer(step.code, status, tuple(register.offer_steps(step.code)))
    return {**_answer(working, after), "repeated": False}


def _offers(register: Register) -> list[Offer]:
    """Give every offtake with a step, or a status that says of one."""
    steps: dict[str, list[OfferStep]] = {}
    for step in register.offer_steps():
        steps.setdefault(step.code, []).append(step)
    return [
        Offer(code, status or CANDIDATE, tuple(steps.get(code, ())))
        for code, status in _statuses(register.raw()).items()
        if status in FOLLOWED or code in steps
    ]


def _answer(working: Working, offer: Offer) -> dict[str, Any]:
    standing = working.register.standing()
    counted = counted_in(working.of().view.evaluation).get(offer.code)
    return {
        "offer": offer_values(offer, counted),
        "revision": standing.revision,
        "data_version": standing.data_version,
    }


def _tidied(step: OfferStep) -> OfferStep:
    """Give the step with its text as it is kept."""
    return replace(
        step,
        words=lines(step.words, "what is noted of an offer", most=MOST_OF_NOTE),
        by=one_line(step.by, "who writes this down", needed=True),
    )


def _status_edit(step: OfferStep, now: str | None) -> Edit | None:
    """Give the edit that says in the data what a step says; None for a note."""
    if Step(step.step) is Step.NOTE:
        return None
    return Edit(
        id=str(uuid5(UUID(step.id), STATUS)),  # a step that is sent again is the same edit again
        changes=(Change("offtakes", step.code, STATUS, now, step.step),),
        why=step.words.split("\n")[0] or f"{step.step} on {step.on}",
        by=step.by,
        observed_on=step.on,
        kind="follow_up",
    )


def _statuses(raw: RawCatchment) -> dict[str, str | None]:
    """Give code -> status as given, None where it is blank."""
    cells = raw.tables["offtakes"].cells
    codes = cells["offtake_id"]
    return dict(zip(map(str, codes), cells.get(STATUS, [None] * len(codes)), strict=True))


def _bound(offer: Offer) -> float:
    """Give the money an offer binds: while it is accepted, and once it is built."""
    return (offer.committed or 0.0) if offer.status in BINDING else 0.0


def _step_values(step: OfferStep) -> dict[str, Any]:
    return {name: value for name, value in asdict(step).items() if name != "code"}
