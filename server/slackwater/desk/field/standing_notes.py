"""Which note of a field stands? The last of a chain; two chains that differ wait for a choice.

Each note says which it follows upon. Where nobody followed upon a phone's last note, that is a
tip. Tips of several phones that say different things contradict each other until somebody chooses;
then the one chosen follows upon the others.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from slackwater.desk.field.forms import FORM_OF
from slackwater.store.field_records import Choice, Note

OfField = tuple[str, str]
"""Code and field."""
SAME = 1e-9


@dataclass(frozen=True)
class Standing:
    """How the notes of one field of one offtake stand.

    Attributes
    ----------
    tips : those that stand, in order; more than one where they add up or contradict each other.
    contested : they contradict each other and wait for a choice.
    """

    tips: tuple[Note, ...]
    contested: bool

    @property
    def newest(self) -> Note | None:
        """The note that stands alone; None where none does, or several contradict each other."""
        return self.tips[-1] if self.tips and not self.contested else None


def standings(notes: Iterable[Note], choices: Iterable[Choice]) -> dict[OfField, Standing]:
    """Give how the notes of every field stand."""
    grouped: dict[OfField, list[Note]] = {}
    for note in notes:
        grouped.setdefault((note.code, note.field), []).append(note)
    chosen: dict[OfField, list[Choice]] = {}
    for choice in choices:
        chosen.setdefault((choice.code, choice.field), []).append(choice)
    return {of: standing(group, chosen.get(of, ())) for of, group in grouped.items()}


def standing(notes: Sequence[Note], choices: Iterable[Choice]) -> Standing:
    """Give how the notes of one field of one offtake stand."""
    followed = {note.after for note in notes}
    for choice in choices:
        followed |= set(choice.note_ids) - {choice.pick}
    ordered = in_order(notes)
    tips = [note for note in ordered if note.id not in followed]
    form = FORM_OF.get(notes[0].field) if notes else None
    if form and form.adds_up:
        return Standing(tuple(tips), contested=False)
    last_of_phone = {note.phone: note.id for note in ordered}
    tips = [note for note in tips if last_of_phone[note.phone] == note.id]
    contested = any(not says_the_same(tips[0].value, each.value) for each in tips)
    return Standing(tuple(tips), contested)


def says_the_same(one: float | str | None, other: float | str | None) -> bool:
    """Whether two values are the same, numbers but for rounding."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=SAME)
    return one == other


def in_order(notes: Iterable[Note]) -> list[Note]:
    """Give notes by the time they were written, each behind the one it follows upon.

    However they arrived, and whatever was done to a phone's clock meanwhile.
    """
    listed = list(notes)
    by_id = {note.id: number for number, note in enumerate(listed)}
    behind: dict[int, list[int]] = {number: [] for number in range(len(listed))}
    ready: list[tuple[datetime, str, int]] = []
    for number, note in enumerate(listed):
        before = by_id.get(note.after)
        if before is None:
            heapq.heappush(ready, (_time(note), note.id, number))
        else:
            behind[before].append(number)
    ordered: list[Note] = []
    while ready:
        *_, number = heapq.heappop(ready)
        ordered.append(listed[number])
        for each in behind[number]:
            heapq.heappush(ready, (_time(listed[each]), listed[each].id, each))
    placed = {note.id for note in ordered}
    return ordered + [note for note in listed if note.id not in placed]  # those of a ring


def _time(note: Note) -> datetime:
    return datetime.fromisoformat(note.at)
