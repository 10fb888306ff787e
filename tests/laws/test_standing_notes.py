"""How notes stand follows from what was written, never from how it arrived."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from slackwater.desk.field.standing_notes import Standing, in_order, says_the_same, standing
from slackwater.store.field_records import Choice, Note

START = datetime(2026, 3, 1, 8, tzinfo=UTC)


def written(seed: int, count: int) -> list[Note]:
    """Have three phones write notes of one field, each after one it may know, clocks astray."""
    chance = random.Random(seed)
    notes: list[Note] = []
    for number in range(count):
        phone = chance.choice("abc")
        knows = [note for note in notes if note.phone == phone or chance.random() < 0.3]
        after = knows[-1].id if knows and chance.random() < 0.9 else ""
        at = START + timedelta(minutes=chance.randrange(-30, 30) + number)
        notes.append(
            Note(f"{number}", "run", "A", "depth_low", "", "m", chance.choice([1.0, 2.0, None]),
                 at.isoformat(), phone, after, phone)
        )  # fmt: skip
    return notes


def chosen(found: Standing, seed: int) -> Choice:
    """Choose one of the notes that contradict each other."""
    ids = tuple(note.id for note in found.tips)
    return Choice("c", "A", "depth_low", ids, random.Random(seed).choice(ids), "lead", "seen")


@given(st.integers(0, 10_000), st.integers(0, 12))
def test_the_order_of_arrival_changes_nothing(seed: int, count: int) -> None:
    """Shuffled, the same notes stand, contested or not, and come out in the same order."""
    notes = written(seed, count)
    shuffled = random.Random(seed + 1).sample(notes, count)
    assert [note.id for note in in_order(shuffled)] == [note.id for note in in_order(notes)]
    assert standing(shuffled, ()) == standing(notes, ())


@given(st.integers(0, 10_000), st.integers(1, 12))
def test_each_note_comes_behind_the_one_it_follows(seed: int, count: int) -> None:
    """Whatever the clocks say; and none is lost."""
    ordered = in_order(written(seed, count))
    place = {note.id: number for number, note in enumerate(ordered)}
    assert len(place) == count
    assert all(place[note.after] < place[note.id] for note in ordered if note.after)


@given(st.integers(0, 10_000), st.integers(1, 12))
def test_what_stands_is_followed_by_nothing(seed: int, count: int) -> None:
    """There is a tip, one a phone at most, and several that differ are contested and only then."""
    notes = written(seed, count)
    found = standing(notes, ())
    assert found.tips
    assert {note.id for note in found.tips}.isdisjoint({note.after for note in notes})
    assert len({note.phone for note in found.tips}) == len(found.tips)
    differ = any(not says_the_same(found.tips[0].value, note.value) for note in found.tips)
    assert found.contested == differ
    assert found.newest == (None if differ else found.tips[-1])


@given(st.integers(0, 10_000), st.integers(2, 12))
def test_a_choice_settles_what_it_was_about(seed: int, count: int) -> None:
    """After it the one chosen stands alone, until somebody follows upon one not chosen."""
    notes = written(seed, count)
    found = standing(notes, ())
    if not found.contested:
        return
    choice = chosen(found, seed)
    after = standing(notes, [choice])
    assert (after.newest and after.newest.id, after.contested) == (choice.pick, False)
    loser = next(note for note in found.tips if note.id != choice.pick)
    late = Note("late", "run", "A", "depth_low", "", "m", 3.0, loser.at, loser.phone, loser.id, "x")
    assert standing([*notes, late], [choice]).contested
