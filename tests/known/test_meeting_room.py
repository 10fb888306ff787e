"""What happens in a meeting's room: who may move what, what holds, and that nothing grows."""

from __future__ import annotations

from collections.abc import Callable
from threading import Barrier, Thread

import numpy as np
import pytest

from slackwater.desk.meeting.money_here import shared_out
from slackwater.errors import UsageError
from slackwater.meeting.led import MOST_SHOWN, led_of
from slackwater.meeting.phone_book import MOST_PHONES
from slackwater.meeting.phones import Place
from slackwater.meeting.refusals import (
    ChangedMeanwhile,
    DoorClosed,
    MeetingFull,
    MeetingOver,
    PhoneGone,
)
from slackwater.meeting.room import Room
from slackwater.meeting.sets import MOST_SETS, Sets
from slackwater.meeting.snapshot import Basis
from slackwater.meeting.weightings import Flags, Weights

CRITERIA = ("risk", "overlap", "cost")
A, B, C = {"risk": 10, "overlap": 0, "cost": 0}, {"risk": 5, "overlap": 5, "cost": 0}, {
    "risk": 0, "overlap": 5, "cost": 5}  # fmt: skip
FIVE = (A, A, B, B, C)
"""Their middle: risk 500, overlap 500, cost 0."""


def inside_of(weights: Weights) -> Flags:
    """Four sites: one always inside, one for each criterion that has a third or more."""
    return np.array([True, *(weight >= 333 for weight in weights)])


def room_of(*levels: dict[str, int], **made: object) -> Room:
    """Give a room in which phones 1, 2, ... have set these levels."""
    room = Room(Basis(CRITERIA, shared_out, inside_of, (180.0, 120.0)), **made)  # type: ignore[arg-type]
    for each in levels:
        room.set_mine(room.join(f"phone {room.changed}"), each, "")
    return room


def test_below_five_no_figures_are_shown() -> None:
    """Four weightings tell the hall nothing, the fifth tells what all have in common; a site that
    one or two stand alone with is counted and not named."""
    room = room_of(*FIVE[:4])
    assert (room.now().tried, room.now().figures) == (4, None)
    with pytest.raises(UsageError, match="from 5"):
        room.show_trial(True)
    room.set_mine(room.join("fifth"), C, "")
    figures = room.now().figures
    assert figures is not None
    assert figures.stays.tolist() == [True, False, False, False]
    assert (figures.turns, figures.few) == ((), 3)
    assert figures.spread.middle == (500, 500, 0)
    room.set_mine(room.join("sixth"), C, "")
    figures = room.now().figures
    assert figures is not None
    # risk: two A and two B of six; overlap: B and C, cost: C alone
    assert [(turn.position, turn.count) for turn in figures.turns] == []
    room.set_mine(room.join("seventh"), C, "")
    figures = room.now().figures
    assert figures is not None
    assert [(turn.position, turn.count) for turn in figures.turns] == [(1, 4), (3, 3)]
    assert figures.few == 1


def test_a_weighting_taken_back_does_not_count() -> None:
    """The phone stays in with its group; below five again, nothing of the room is told."""
    room = room_of(*FIVE)
    room.set_mine(1, {}, "angler")
    phone, now = room.phone(1), room.now()
    assert (phone.levels, phone.weights, phone.inside, phone.group) == (None, None, None, "angler")
    assert (now.phones, now.tried, now.figures) == (5, 4, None)


def test_a_phone_weighs_once_and_stays_when_it_leaves() -> None:
    """Setting again takes the place of what it set; leaving takes nothing away; null keeps."""
    room = room_of(A, B, C)
    room.arrive(1)
    room.set_mine(1, C, "angler")
    room.set_mine(1, None, "council")
    room.leave(1)
    phone, lead = room.phone(1), room.lead()
    assert (phone.weights, phone.group) == ((0, 500, 500), "council")
    assert (lead.now.tried, lead.groups["council"], lead.unsaid, lead.present) == (3, 1, 2, 0)


def test_a_phone_that_is_dropped_takes_back_all_it_said() -> None:
    """Weights, group and places are gone, and its secret is told that it was dropped."""
    room = room_of(A, B, C)
    number = room.join("bad")
    room.set_mine(number, C, "other")
    room.set_places(number, [Place(1.0, 2.0, "the weir")])
    room.drop(number)
    lead = room.lead()
    assert (lead.now.phones, lead.now.tried, lead.dropped) == (3, 3, 1)
    assert (lead.groups["other"], lead.places) == (0, ())
    with pytest.raises(PhoneGone) as gone:
        room.number_of("bad")
    assert gone.value.dropped
    with pytest.raises(PhoneGone) as never:
        room.number_of("never was here")
    assert not never.value.dropped


def test_hold_holds_whatever_phones_and_facilitator_do() -> None:
    """The wall stands as it stood, bytes and all, while the room goes on; let go, it follows."""
    room = room_of(A, B, C)
    room.hold(True)
    held = room.wall()
    room.set_mine(room.join("more"), A, "")
    room.drop(1)
    room.step("choice")
    wall, now = room.wall(), room.now()
    assert held.held
    assert (wall.at, wall.step, wall.phones, wall.tried) == (held.at, "river", 3, 3)
    assert wall.figures is held.figures
    assert (now.step, now.held, now.phones) == ("choice", True, 3)
    room.hold(False)
    assert room.wall().step == "choice"
    assert [each.step for each in room.lead().shown] == ["river", "choice"]


def test_a_trial_stands_as_it_was_shown() -> None:
    """Weights set afterwards move the middle and not the trial; shown anew it is the new middle."""
    room = room_of(*FIVE)
    room.show_trial(True)
    for other in "defg":
        room.set_mine(room.join(other), C, "")
    room.show_trial(True)  # shown already
    trial, figures = room.now().trial, room.now().figures
    assert trial is not None
    assert figures is not None
    assert trial.weights == (500, 500, 0)
    assert trial.inside.tolist() == inside_of((500, 500, 0)).tolist()
    assert figures.spread.middle == (0, 500, 500)
    room.show_trial(False)
    assert room.now().trial is None
    room.show_trial(True)
    assert room.led.trial == (0, 500, 500)


def test_a_trial_agreed_keeps_its_weights() -> None:
    """It outlives the trial's being shown and a service that starts again; unseen it is refused."""
    room = room_of(*FIVE)
    with pytest.raises(UsageError, match="show the trial"):
        room.agree("trial", "", "", 0)
    room.show_trial(True)
    room.agree("trial", "as tried", "the mill", 0)
    room.show_trial(False)
    room.hold(True)
    again = room_of(led=led_of(room.led.as_dict()))
    assert again.led.agreed == room.led.agreed
    assert again.led.agreed.weights == (500, 500, 0)
    assert again.wall().held
    assert again.now().tried == 0
    assert again.led.done[: len(room.led.done)] == room.led.done
    room.agree("", "", "the mill", 1)
    assert (room.led.agreed.what, room.led.agreed.left_open) == ("", "the mill")
    assert [each.what for each in room.lead().done] == [
        "trial shown", "agreed trial", "trial stopped", "held", "taken back"
    ]  # fmt: skip


def test_words_never_change_what_was_agreed() -> None:
    """Another middle on the wall, words mended: set, share and hour stay those that were agreed."""
    room = room_of(*FIVE)
    room.show_trial(True)
    first = room.agree("trial", "We fund the middel.", "", 0)
    room.show_trial(False)
    for other in "defg":
        room.set_mine(room.join(other), C, "")
    room.show_trial(True)
    mended = room.agree("same", "We fund the middle.", "the mill", first.revision)
    assert (mended.what, mended.weights, mended.at) == ("trial", first.weights, first.at)
    assert (mended.words, mended.left_open, mended.revision) == (
        "We fund the middle.",
        "the mill",
        2,
    )
    assert room.led.trial != mended.weights
    moved = room.agree("trial", "We fund the middle.", "the mill", 2)
    assert (moved.weights, moved.revision) == (room.led.trial, 3)


def test_of_two_facilitators_none_writes_over_the_other() -> None:
    """Who saw what does not stand any more is told what stands; sending the same again is fine."""
    room = room_of()
    room.agree("case", "as it stands", "", 0)
    with pytest.raises(ChangedMeanwhile) as refused:
        room.agree("", "nothing yet", "", 0)
    assert refused.value.agreed == room.led.agreed
    assert (room.led.agreed.words, room.led.agreed.revision) == ("as it stands", 1)
    assert room.agree("case", "as it stands", "", 0).revision == 1
    assert room.agree("", "nothing yet", "", 1).at == ""


@pytest.mark.parametrize(
    "levels",
    [{"risk": 1}, {**A, "gate": 1}, {**A, "risk": 11}, {**A, "risk": -1}, {**A, "risk": 2.0},
     {**A, "risk": True}, dict.fromkeys(CRITERIA, 0)],
)  # fmt: skip
def test_levels_that_are_none_change_nothing(levels: dict[str, int]) -> None:
    """Missing, strange, out of range, no whole number or all 0: refused, and the room stands."""
    room = room_of(A)
    before = room.changed
    with pytest.raises(UsageError):
        room.set_mine(1, levels, "")
    with pytest.raises(UsageError):
        room.set_mine(1, B, "landlord")
    assert (room.changed, room.phone(1).weights) == (before, (1000, 0, 0))


@pytest.mark.parametrize(
    "places",
    [[Place(1, 1, "")] * 4, [Place(1, 1, "x" * 141)], [Place(-1, 1, "")], [Place(1, 121, "")],
     [Place(float("nan"), 1, "")]],
)  # fmt: skip
def test_places_that_are_none_change_nothing(places: list[Place]) -> None:
    """A fourth, one too wordy, one off the map or nowhere."""
    room = room_of(A)
    with pytest.raises(UsageError):
        room.set_places(1, places)
    assert room.phone(1).places == ()


def test_a_full_room_lets_in_only_where_one_said_nothing() -> None:
    """300 that spoke fill it; one that said nothing and is away makes room, and may join again."""
    room = room_of()
    numbers = [room.join(f"p{i}") for i in range(MOST_PHONES)]
    for number in numbers[1:]:
        room.set_mine(number, A, "")
    room.arrive(numbers[0])
    with pytest.raises(MeetingFull):
        room.join("one more")
    room.leave(numbers[0])
    assert room.join("one more") == MOST_PHONES + 1
    assert room.now().phones == MOST_PHONES
    with pytest.raises(PhoneGone) as gone:
        room.number_of("p0")
    assert not gone.value.dropped


def test_nothing_grows_without_end() -> None:
    """Sets, steps, listeners and dropped phones are counted however long it goes on."""
    calls: list[int] = []

    def counted(weights: Weights) -> Flags:
        calls.append(1)
        return inside_of(weights)

    sets = Sets(Basis(CRITERIA, shared_out, counted, (180.0, 120.0)))
    for part in range(MOST_SETS + 50):
        sets.inside_of((part, 1000 - part, 0))
    assert len(calls) == MOST_SETS + 50
    sets.inside_of((MOST_SETS + 49, 1000 - MOST_SETS - 49, 0))  # asked for lately: kept
    assert len(calls) == MOST_SETS + 50
    sets.inside_of((0, 1000, 0))  # let go long ago
    assert len(calls) == MOST_SETS + 51
    room = room_of()
    for turn in range(MOST_SHOWN + 20):
        room.step(("list", "room")[turn % 2])
        room.drop(room.join(f"bad {turn}"))
    assert len(room.lead().shown) == MOST_SHOWN
    assert (room.now().phones, room.lead().dropped) == (0, MOST_SHOWN + 20)
    heard: list[int] = []
    stop = room.listen(lambda: heard.append(1))
    room.step("river")
    stop()
    room.step("list")
    assert len(heard) == 1


def test_a_closed_door_and_an_ended_meeting() -> None:
    """A closed door keeps those in who are in; after the end nothing moves any more."""
    room = room_of(A, B, C)
    room.door(False)
    with pytest.raises(DoorClosed):
        room.join("late")
    room.set_mine(1, C, "")
    room.end()
    before, moves = room.changed, (
        lambda: room.join("late"), lambda: room.set_mine(1, A, ""), lambda: room.set_places(1, []),
        lambda: room.step("list"), lambda: room.hold(True), lambda: room.door(True),
        lambda: room.show_trial(True), lambda: room.agree("case", "", "", 0))  # fmt: skip
    for move in moves:
        with pytest.raises(MeetingOver):
            move()  # type: ignore[operator]
    room.drop(1)
    assert (room.changed, room.now().ended, room.now().tried) == (before, True, 3)


def test_many_threads_leave_what_one_would() -> None:
    """Twelve phones at once: every snapshot is whole, and the last is worked out from the last."""
    room = room_of(*[A] * 12)
    start, wrong = Barrier(14), []

    def phone(number: int) -> None:
        start.wait()
        for turn in range(30):
            room.set_mine(number, (A, B, C)[(turn + number) % 3], "")

    def look(give: Callable[[], object]) -> None:
        start.wait()
        for _ in range(60):
            seen = give()
            if seen.tried != 12 or seen.figures is None or seen.figures.inside[0] != 1:  # type: ignore[attr-defined]
                wrong.append(seen)

    threads = [Thread(target=phone, args=(n,)) for n in range(1, 13)]
    threads += [Thread(target=look, args=(give,)) for give in (room.now, room.wall)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert not wrong
    last = [(A, B, C)[(29 + number) % 3] for number in range(1, 13)]
    alone = room_of(*last).now().figures
    figures = room.now().figures
    assert figures is not None
    assert alone is not None
    assert (figures.spread, figures.turns) == (alone.spread, alone.turns)
    with pytest.raises(ValueError, match="read-only"):
        figures.inside[0] = False
