"""Which step of an offer may follow which, and what stands next? In plain words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum

from slackwater.errors import UsageError
from slackwater.store import OfferStep

FURTHEST_AHEAD_H = 14
"""Where the day begins first on earth (UTC+14): nobody's today is in the future."""


class Step(StrEnum):
    """What happened to an offer."""

    OFFERED = "offered"
    ACCEPTED = "accepted"
    DECLINED = "declined"
    BUILT = "built"
    NOTE = "note"


class Permit(StrEnum):
    """How the works approval or the heritage check stands; "" where nothing was said."""

    UNSAID = ""
    NOT_NEEDED = "not_needed"
    TO_DO = "to_do"
    ASKED = "asked"
    GIVEN = "given"
    REFUSED = "refused"


CLEAR = (Permit.NOT_NEEDED, Permit.GIVEN)
FOLLOWS: dict[Step, tuple[str, ...]] = {
    Step.OFFERED: ("candidate", "declined"),
    Step.ACCEPTED: ("offered",),
    Step.DECLINED: ("offered", "accepted"),
    Step.BUILT: ("accepted",),
}
"""Step -> how the offtake must stand before it."""
NEEDS = {
    Step.OFFERED: "an offer is made to a candidate, or again to one that declined",
    Step.ACCEPTED: "it must be offered first",
    Step.DECLINED: "only what was offered or accepted can be declined",
    Step.BUILT: "it must be accepted first",
}


NEXT = {
    "candidate": "make the offer",
    "offered": "the landholder's answer",
    "declined": "see who comes in instead",
    "built": "say what was spent",
}


@dataclass(frozen=True)
class Offer:
    """How one offtake's offer stands: the data's status, and the steps written down.

    Attributes
    ----------
    steps : oldest first.
    """

    code: str
    status: str
    steps: tuple[OfferStep, ...]

    @property
    def committed(self) -> float | None:
        """Money committed since it was last offered, as last said; None where none was."""
        for step in reversed(self.steps):
            if step.committed is not None or step.step == Step.OFFERED:
                return step.committed
        return None

    @property
    def spent(self) -> float | None:
        """Money spent, as last said; None where it never was."""
        return next((s.spent for s in reversed(self.steps) if s.spent is not None), None)

    @property
    def works_approval(self) -> str:
        """Where the works approval stands, as last said."""
        return next((s.works_approval for s in reversed(self.steps) if s.works_approval), "")

    @property
    def heritage(self) -> str:
        """Where the heritage check stands, as last said."""
        return next((s.heritage for s in reversed(self.steps) if s.heritage), "")


def check_step(offer: Offer, step: OfferStep) -> None:
    """Refuse a step that cannot follow.

    Raises
    ------
    UsageError
        Where its order, date or money cannot be.
    """
    what = Step(step.step)
    if what in FOLLOWS and offer.status not in FOLLOWS[what]:
        raise UsageError(f"{offer.code} is {offer.status}, so not {what.value}: {NEEDS[what]}")
    day = _day_of(step)
    if day > latest_today():
        raise UsageError(f"{offer.code}: {step.on} is in the future; write down what happened")
    if offer.steps and day < _day_of(offer.steps[-1]):
        before = offer.steps[-1]
        raise UsageError(
            f"{offer.code}: {step.on} is before the step before it ({before.step}, {before.on})"
        )
    for name, amount in (("committed", step.committed), ("spent", step.spent)):
        if amount is not None and not (math.isfinite(amount) and amount >= 0):
            raise UsageError(f"{offer.code}: {name} is an amount of 0 or more, not {amount}")
    if what is Step.ACCEPTED and step.committed is None:
        raise UsageError(f"{offer.code}: accepting commits money; say how much is committed")


def warnings_of(offer: Offer) -> list[str]:
    """Say what is odd about an offer as it stands, though it is kept."""
    told = []
    committed, spent = offer.committed, offer.spent
    if spent is not None and spent > (committed or 0.0):
        told.append(
            f"{spent:,.0f} spent is more than the {committed:,.0f} committed"
            if committed is not None
            else f"{spent:,.0f} spent, though nothing was committed"
        )
    if offer.status == "built":
        told += [
            f"built, though the {name} is not given: {_permit_words(state)}"
            for name, state in _permits(offer)
            if state not in CLEAR
        ]
    return told


def next_of(offer: Offer) -> str:
    """Say in plain words what stands next."""
    if offer.status == "accepted":
        return _before_it_is_built(offer)
    if offer.status == "built" and offer.spent is not None:
        return "nothing: it is built"
    return NEXT.get(offer.status, "nothing: it is no longer in the data") + _since(offer)


def _before_it_is_built(offer: Offer) -> str:
    open_ = [(name, state) for name, state in _permits(offer) if state not in CLEAR]
    refused = [name for name, state in open_ if state == Permit.REFUSED]
    if refused:
        return f"{refused[0]} was refused: no ground may be broken; settle it or let the offer go"
    if open_:
        words = "; ".join(f"{name} {_permit_words(state)}" for name, state in open_)
        return f"{words}, before ground is broken"
    return "build it, to the design of a qualified engineer, and write down when it is in"


def latest_today() -> date:
    """Give the day it is where it is latest."""
    return (datetime.now(UTC) + timedelta(hours=FURTHEST_AHEAD_H)).date()


def _permits(offer: Offer) -> list[tuple[str, str]]:
    return [("heritage check", offer.heritage), ("works approval", offer.works_approval)]


def _permit_words(state: str) -> str:
    return {Permit.ASKED: "asked for, not given yet", Permit.REFUSED: "refused"}.get(
        Permit(state), "to do"
    )


def _since(offer: Offer) -> str:
    made = [step for step in offer.steps if step.step == Step.OFFERED and offer.status == "offered"]
    return f", offered on {_day_of(made[-1]).strftime('%d %B %Y').lstrip('0')}" if made else ""


def _day_of(step: OfferStep) -> date:
    try:
        return datetime.strptime(step.on, "%Y-%m-%d").replace(tzinfo=UTC).date()
    except ValueError:
        raise UsageError(f"{step.code}: {step.on!r} is no day; write it YYYY-MM-DD") from None
