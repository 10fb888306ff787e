"""Killed in a storm of notes: what was acknowledged is there, each note once, in order, ever."""

from __future__ import annotations

import random
from contextlib import closing

import httpx
import pytest

from slackwater.store import open_register
from slackwater.store.field_book import FieldBook
from tests.store.field.at_pump import Phone, a_run
from tests.store.field.note_storm import (
    NoteStorm,
    Officer,
    lost_notes,
    note_storm,
    require_sound,
)
from tests.store.served import Serve

TOO_SOON = ("-m", "tests.store.field.notes_too_soon")
SHORTEST_S, LONGEST_S = 0.1, 1.0
AT_LEAST = 12
"""Notes that are acknowledged before the blow."""
PHONES = 4
ROUNDS = {"sqlite": 2, "postgresql": 1}
LONG_ROUNDS = {"sqlite": 60, "postgresql": 40}


def a_run_in(url: str) -> str:
    """Make a run that stops at both offtakes."""
    with closing(open_register(url)) as register:
        return FieldBook(register).put_run(a_run("0012", "0013")).id


def hold(url: str, raging: NoteStorm, phones: list[Phone]) -> None:
    """Open the database anew and hold it to what was acknowledged."""
    with closing(open_register(url)) as register:
        with register.connected.writing():
            pass  # whatever the dead service's database was still doing is over now
        book = FieldBook(register)
        assert lost_notes(book, raging) == []
        require_sound(book, phones)


def send_all_again(address: str, officers: list[Officer]) -> None:
    """Every phone sends all it ever wrote, back to front: nobody knows which answers were lost."""
    with httpx.Client(base_url=address, timeout=60) as client:
        for officer in officers:
            backwards = list(reversed(officer.phone.outbox))
            for start in range(0, len(backwards), 200):
                some = backwards[start : start + 200]
                told = client.post("/api/notes", json={"notes": some}).json()
                assert told["refused"] == []
                assert {*told["kept"], *told["known"]} == {note["id"] for note in some}
                assert officer.kept.isdisjoint(told["kept"])
                officer.kept |= {*told["kept"], *told["known"]}


def rounds_of_killing(url: str, serving: Serve, rounds: int, seed: int) -> None:
    """Serve, storm, kill, hold; serve again, send again, hold; and so on."""
    chance, run_id = random.Random(seed), a_run_in(url)
    phones: list[Phone] = []
    service = serving()
    for _ in range(rounds):
        mine = [Phone(run_id) for _ in range(PHONES)]
        phones += mine
        raging = note_storm(service.address, mine)
        raging.rage(chance.uniform(SHORTEST_S, LONGEST_S), AT_LEAST)
        service.kill()
        raging.end()
        hold(url, raging, phones)
        service = serving()
        send_all_again(service.address, list(raging.workers))
        hold(url, raging, phones)
    service.kill()
    with closing(open_register(url)) as register:
        assert len(FieldBook(register).notes()) == sum(len(phone.outbox) for phone in phones)


def test_a_killed_service_keeps_every_acknowledged_note(
    url: str, kind: str, serving: Serve
) -> None:
    """SIGKILL in a storm: no note or photo that was acknowledged is lost, none is there twice."""
    rounds_of_killing(url, serving, ROUNDS[kind], seed=1)


@pytest.mark.parametrize("kind", ["sqlite"])
def test_these_tests_see_a_note_acknowledged_before_it_is_kept(url: str, serving: Serve) -> None:
    """With a field book that answers first and writes half a second later, notes are lost."""
    phones = [Phone(a_run_in(url)) for _ in range(PHONES)]
    service = serving(program=TOO_SOON)
    raging = note_storm(service.address, phones, photos=False)
    raging.rage(0.3, AT_LEAST)
    service.kill()
    raging.end()
    with closing(open_register(url)) as register:
        assert lost_notes(FieldBook(register), raging)
        require_sound(FieldBook(register), phones)  # only the promise is broken


@pytest.mark.long
def test_a_hundred_rounds_of_killing(url: str, kind: str, serving: Serve) -> None:
    """The same, many times over."""
    rounds_of_killing(url, serving, LONG_ROUNDS[kind], seed=4)
