"""What a field book holds: runs, notes, choices, photos, and what a lead made of the notes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

ACCEPTED, REFUSED = "accepted", "refused"


@dataclass(frozen=True)
class Run:
    """A field officer's days out.

    Attributes
    ----------
    on : ISO date of the first day.
    officer : name of the account it is for; "" where there are no accounts.
    days : in order, each ``{"stops": [{"code": ..., ...}], ...}``.
    plan : what was asked of the planner and what it answered beside the days.
    made_at, ordered_at, dropped_at : ISO, UTC; "" for never. The store fills the last two.
    """

    id: str
    name: str
    on: str
    officer: str
    days: tuple[Mapping[str, Any], ...]
    plan: Mapping[str, Any] = field(default_factory=dict)
    data_version: str = ""
    made_at: str = ""
    by: str = "lead"
    ordered_at: str = ""
    dropped_at: str = ""

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of its stops, in order of the days."""
        return tuple(str(stop["code"]) for day in self.days for stop in day.get("stops", ()))


@dataclass(frozen=True)
class Note:
    """One field's value, written at a stop; it never changes.

    Attributes
    ----------
    typed, unit : as it was typed; both may be "".
    value : understood: SI number or text; None where nothing was said, or it was taken back.
    at : ISO with its offset, by the phone's clock.
    phone : a random id the phone gave itself.
    after : id of the note of the same code and field the phone knew as the newest, "" for none.
    received_at : ISO, UTC; the store fills it.
    """

    id: str
    run_id: str
    code: str
    field: str
    typed: str
    unit: str
    value: float | str | None
    at: str
    phone: str
    after: str
    by: str
    received_at: str = ""


@dataclass(frozen=True)
class Choice:
    """Which of several notes that contradict each other stands; ``pick`` is among ``note_ids``."""

    id: str
    code: str
    field: str
    note_ids: tuple[str, ...]
    pick: str
    by: str
    why: str
    at: str = ""


@dataclass(frozen=True)
class Photo:
    """A picture of a note; ``content`` is a JPEG without anything but the picture.

    Attributes
    ----------
    sent_digest : SHA-256 of what was sent, by which a repeat is known.
    place : "kept" where the picture says where it was taken, else "".
    """

    id: str
    note_id: str
    sent_digest: str
    place: str
    width_px: int
    height_px: int
    by: str
    content: bytes
    received_at: str = ""


@dataclass(frozen=True)
class Settlement:
    """What a lead made of a note.

    Attributes
    ----------
    request_id : of the asking; of an acceptance also the edit's id.
    outcome : ``accepted`` or ``refused``.
    value : what was taken over, in the register's own terms; None where refused.
    """

    note_id: str
    request_id: str
    outcome: str
    value: float | str | None
    by: str
    why: str
    at: str = ""
