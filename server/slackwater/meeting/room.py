"""What happens in a meeting? Phones say what they weigh, the facilitator says what the wall shows.

Any thread may call; what is given out is frozen. Nothing here grows without end: phones, places,
sets and steps are counted, and of an ended meeting nothing moves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from threading import RLock

from slackwater.errors import UsageError
from slackwater.meeting.led import Agreed, Led, agreed_on, iso_now, require_step
from slackwater.meeting.listeners import Listener, Listeners
from slackwater.meeting.phone_book import PhoneBook
from slackwater.meeting.phones import Phone, Place, levels_in_order, require_group, require_places
from slackwater.meeting.refusals import ChangedMeanwhile, DoorClosed, MeetingOver
from slackwater.meeting.sets import Sets
from slackwater.meeting.snapshot import LEAST_TRIED, Basis, LeadSnapshot, Snapshot, Trial


class Room:
    """One meeting while it is on.

    Parameters
    ----------
    clock : gives the time as ISO text.
    led : what the facilitator had decided, where a service starts again amid a meeting.
    """

    def __init__(
        self, basis: Basis, *, clock: Callable[[], str] = iso_now, led: Led | None = None
    ) -> None:
        self.basis = basis
        self._clock, self._at = clock, clock()
        self._lock = RLock()
        self._book = PhoneBook()
        self._led = (led or Led()).stood_at(self._at)
        self._held_wall: Snapshot | None = None
        self._ended = False
        self._sets, self._listeners = Sets(basis), Listeners()
        self.changed = 0
        if self._led.held:  # a hall sees nothing move by itself, though what it saw is gone
            self._held_wall = self.now()

    # phones

    def join(self, digest: str) -> int:
        """Let a phone in by the digest of its secret; give its number.

        Raises
        ------
        DoorClosed, MeetingFull, MeetingOver
            Where it cannot come in.
        """
        with self._lock:
            self._require_going()
            if not self._led.door_open:
                raise DoorClosed
            number = self._book.join(digest)
            self._move()
        self._listeners.tell()
        return number

    def number_of(self, digest: str) -> int:
        """Give the number of a phone by the digest of its secret.

        Raises
        ------
        PhoneGone
            Where the meeting does not know it.
        """
        with self._lock:
            return self._book.number_of(digest)

    def phone(self, number: int) -> Phone:
        """Give what a phone said.

        Raises
        ------
        PhoneGone
            Where it is not in any more.
        """
        with self._lock:
            return self._book.phone(number)

    def set_mine(self, number: int, levels: Mapping[str, int] | None, group: str) -> Phone:
        """Take a phone's weights and group; None leaves its weights as they are, none at all
        takes them back.

        Raises
        ------
        UsageError
            Where a level or the group cannot be taken; nothing is changed then.
        PhoneGone, MeetingOver
            Where it is too late.
        """
        require_group(group)
        if levels is None:
            return self._change(number, group=group)
        if not levels:
            return self._change(number, group=group, levels=None, weights=None, inside=None)
        said = levels_in_order(levels, self.basis.criteria)
        weights = self.basis.shared_out(list(said.values()), 1000)
        inside = self._sets.inside_of(weights)  # before the lock: nobody waits for another's list
        return self._change(number, group=group, levels=said, weights=weights, inside=inside)

    def set_places(self, number: int, places: Sequence[Place]) -> Phone:
        """Take the places a phone marks, in place of those it marked before.

        Raises
        ------
        UsageError
            Where they are too many, too wordy or off the map.
        PhoneGone, MeetingOver
            Where it is too late.
        """
        require_places(places, self.basis.map_mm)
        return self._change(number, places=tuple(places))

    def arrive(self, number: int) -> None:
        """Count a stream that a phone opened; of one that is gone none is counted."""
        self._count_stream(number, 1)

    def leave(self, number: int) -> None:
        """Count a stream that closed; all that the phone said stays."""
        self._count_stream(number, -1)

    def drop(self, number: int) -> None:
        """Send a phone away and take back all it said; one that is gone already stays gone."""
        with self._lock:
            if self._ended or not self._book.drop(number):
                return
            self._move()
        self._listeners.tell()

    # the facilitator

    @property
    def led(self) -> Led:
        """All that is to be kept, so that a service can start again amid the meeting."""
        with self._lock:
            return self._led

    def step(self, step: str) -> None:
        """Go to a step; a wall that is held follows when it is let go.

        Raises
        ------
        UsageError
            Where there is no such step.
        """
        require_step(step)
        self._lead(step=step)

    def hold(self, held: bool) -> None:
        """Freeze what the wall shows as it stands, or let it go."""
        with self._lock:
            self._require_going()
            if held and self._held_wall is None:
                self._held_wall = replace(self.now(), held=True)
            elif not held:
                self._held_wall = None
            self._lead(held=held)

    def door(self, is_open: bool) -> None:
        """Let further phones in, or none; those that are in stay."""
        self._lead(door_open=is_open)

    def show_trial(self, shown: bool) -> None:
        """Set the middle of what was tried beside the case, as it is now, or take it away.

        Raises
        ------
        UsageError
            Where too few weightings were tried.
        """
        with self._lock:
            self._require_going()
            if not shown:
                self._lead(trial=None)
            elif self._led.trial is None:
                figures = self._sets.in_common(self._book.tried)
                if figures is None:
                    raise UsageError(f"the middle is shown from {LEAST_TRIED} weightings on")
                self._lead(trial=figures.spread.middle)

    def agree(self, what: str, words: str, left_open: str, seen: int) -> Agreed:
        """Write down what was agreed; a trial is kept as it is shown at that moment, and "same"
        changes words alone. What stands already may be sent again.

        Parameters
        ----------
        seen : `Agreed.revision` of what the facilitator had before their eyes.

        Raises
        ------
        UsageError
            Where no trial is shown, or texts are too long.
        ChangedMeanwhile
            Where somebody else wrote since; nothing is written over.
        """
        with self._lock:
            self._require_going()
            before = self._led.agreed
            agreed = agreed_on(what, words, left_open, self._led, self._clock())
            if agreed == before:
                return before
            if seen != before.revision:
                raise ChangedMeanwhile(before)
            agreed = replace(agreed, revision=before.revision + 1)
            self._lead(agreed=agreed)
        return agreed

    def end(self) -> None:
        """End the meeting, for good."""
        with self._lock:
            if self._ended:
                return
            self._ended = True
            self._move()
        self._listeners.tell()

    # what stands

    @property
    def ended(self) -> bool:
        """Whether it has ended."""
        return self._ended

    def now(self) -> Snapshot:
        """Give what stands at this moment."""
        with self._lock:
            led = self._led
            trial = None if led.trial is None else Trial(led.trial, self._sets.inside_of(led.trial))
            return Snapshot(
                at=self._at,
                step=led.step,
                held=led.held,
                door_open=led.door_open,
                ended=self._ended,
                phones=len(self._book),
                tried=len(self._book.tried),
                figures=self._sets.in_common(self._book.tried),
                trial=trial,
                agreed=led.agreed,
            )

    def wall(self) -> Snapshot:
        """Give what the wall shows: what stands, or what stood when it was held."""
        with self._lock:
            if self._held_wall is None:
                return self.now()
            return replace(self._held_wall, ended=self._ended)

    def lead(self) -> LeadSnapshot:
        """Give what the facilitator sees."""
        with self._lock:
            return self._book.seen_by_lead(self.now(), self._led)

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Have a function called after every change; see `Listeners.listen`."""
        return self._listeners.listen(listener)

    # within

    def _change(self, number: int, **said: object) -> Phone:
        with self._lock:
            self._require_going()
            phone = self._book.change(number, **said)
            self._move()
        self._listeners.tell()
        return phone

    def _count_stream(self, number: int, by: int) -> None:
        with self._lock:
            self._book.count_stream(number, by)
            self._move()
        self._listeners.tell()

    def _lead(self, **changed: object) -> None:
        with self._lock:
            self._require_going()
            led = replace(self._led, **changed)  # type: ignore[arg-type]
            if led == self._led:
                return
            self._move()
            self._led = led.stood_at(self._at)
        self._listeners.tell()

    def _require_going(self) -> None:
        if self._ended:
            raise MeetingOver

    def _move(self) -> None:
        """Note a change; the caller holds the lock."""
        self.changed += 1
        self._at = self._clock()
