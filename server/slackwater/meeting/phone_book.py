"""Which phones are in a meeting? As many as it takes, each behind a secret it alone holds."""

from __future__ import annotations

from collections import Counter, deque
from dataclasses import replace
from typing import Any

from slackwater.meeting.led import Led
from slackwater.meeting.phones import GROUPS, Phone
from slackwater.meeting.refusals import MeetingFull, PhoneGone
from slackwater.meeting.snapshot import LeadSnapshot, Snapshot

MOST_PHONES = 300


class PhoneBook:
    """Phones by number; whoever holds it sees to it that one thread at a time asks."""

    def __init__(self) -> None:
        self._phones: dict[int, Phone] = {}
        self._number: dict[str, int] = {}
        self._dropped: deque[str] = deque(maxlen=MOST_PHONES)
        self._joined = self.dropped = 0

    def __len__(self) -> int:
        """Give how many are in."""
        return len(self._phones)

    @property
    def phones(self) -> tuple[Phone, ...]:
        """All that are in, in the order of joining."""
        return tuple(self._phones.values())

    @property
    def tried(self) -> tuple[Phone, ...]:
        """Those that have set weights, also when they left since."""
        return tuple(each for each in self._phones.values() if each.weights is not None)

    def join(self, digest: str) -> int:
        """Let a phone in; one that never said anything and is not there makes room for it.

        Raises
        ------
        MeetingFull
            Where as many are in as there can be.
        """
        if len(self._phones) >= MOST_PHONES:
            idle = (each for each in self.phones if each.said_nothing and not each.streams)
            makes_room = next(idle, None)
            if makes_room is None:
                raise MeetingFull(MOST_PHONES)
            self._forget(makes_room.number)
        self._joined += 1
        self._phones[self._joined] = Phone(self._joined)
        self._number[digest] = self._joined
        return self._joined

    def number_of(self, digest: str) -> int:
        """Give the number of the phone with this secret.

        Raises
        ------
        PhoneGone
            Where there is none.
        """
        number = self._number.get(digest)
        if number is None:
            raise PhoneGone(dropped=digest in self._dropped)
        return number

    def phone(self, number: int) -> Phone:
        """Give a phone.

        Raises
        ------
        PhoneGone
            Where it is not in any more.
        """
        found = self._phones.get(number)
        if found is None:
            raise PhoneGone(dropped=False)
        return found

    def change(self, number: int, **changed: Any) -> Phone:
        """Give a phone something new to say.

        Raises
        ------
        PhoneGone
            Where it is not in any more.
        """
        self._phones[number] = replace(self.phone(number), **changed)
        return self._phones[number]

    def count_stream(self, number: int, by: int) -> None:
        """Count a stream that opened or closed; of a phone that is gone none is counted."""
        phone = self._phones.get(number)
        if phone is not None:
            self.change(number, streams=max(0, phone.streams + by))

    def drop(self, number: int) -> bool:
        """Send a phone away with all it said; False where it was gone."""
        if number not in self._phones:
            return False
        self._dropped.append(self._forget(number))
        self.dropped += 1
        return True

    def seen_by_lead(self, now: Snapshot, led: Led) -> LeadSnapshot:
        """Give what the facilitator sees of the phones, beside what the hall sees."""
        phones = self.phones
        said = Counter(each.group for each in phones)
        return LeadSnapshot(
            now=now,
            groups={group: said[group] for group in GROUPS},
            unsaid=said[""],
            places=tuple((each.number, place) for each in phones for place in each.places),
            present=sum(each.streams > 0 for each in phones),
            dropped=self.dropped,
            shown=led.shown,
            done=led.done,
        )

    def _forget(self, number: int) -> str:
        """Give the digest that stood for it."""
        del self._phones[number]
        digest = next(each for each, other in self._number.items() if other == number)
        del self._number[digest]
        return digest
