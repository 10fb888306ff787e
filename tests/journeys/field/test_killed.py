"""W18: the browser is killed while somebody types: whatever the store was seen to hold is there."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.field import phone_apart
from tests.journeys.field.at_bank import Run

FIELDS = ("depth_today", "depth_low", "gauge_reading")


class PhoneApart:
    """The other process, and the browser it started."""

    def __init__(self, profile: Path) -> None:
        self._profile = profile
        self._talk = subprocess.Popen(
            [sys.executable, phone_apart.__file__, str(profile)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def tell(self, do: str, **more: Any) -> None:
        assert self._talk.stdin is not None
        self._talk.stdin.write(json.dumps({"do": do, **more}) + "\n")
        self._talk.stdin.flush()

    def ask(self, do: str, **more: Any) -> Any:
        assert self._talk.stdout is not None
        self.tell(do, **more)
        line = self._talk.stdout.readline()
        assert line, "the phone's process ended"
        return json.loads(line)["said"]

    def kill(self) -> None:
        """Kill every process of this profile's browser at once, then the one that led it."""
        for process in Path("/proc").glob("[0-9]*"):
            try:
                words = (process / "cmdline").read_bytes().split(b"\0")
            except OSError:
                continue
            if f"--user-data-dir={self._profile}".encode() in words:
                os.kill(int(process.name), signal.SIGKILL)
        self._talk.kill()
        self.close()

    def close(self) -> None:
        for pipe in (self._talk.stdin, self._talk.stdout):
            assert pipe is not None
            with suppress(BrokenPipeError):
                pipe.close()
        self._talk.wait(timeout=30)


@contextmanager
def phone_of(profile: Path) -> Iterator[PhoneApart]:
    """A phone until the block ends, however it ends."""
    made = PhoneApart(profile)
    try:
        yield made
    finally:
        made.kill()


def killed(run: Run, profile: Path, rounds: int, seed: int) -> None:
    """Type offline, kill, open again offline; in the end send all."""
    chance = random.Random(seed)
    wanted: list[tuple[str, str, str]] = []
    with phone_of(profile) as phone:
        phone.ask("take", at=f"{run.address}/field")
    for number in range(rounds):
        with phone_of(profile) as phone:
            phone.ask("offline", on=True)
            stop = chance.randrange(len(run.codes))
            held = phone.ask("open", at=run.at(stop))
            there = [each["note"] for each in held["notes"]]
            assert held["writing"] == []
            assert_begins_like(there, wanted)
            field, text = chance.choice(FIELDS), f"{100 + number}555"
            phone.ask("begin", field=field)
            most = chance.randrange(3, len(text))  # so that no two notes are alike
            for letter in range(most):
                phone.ask("letter", letter=text[letter], typed=text[: letter + 1])
            phone.tell("letter", letter=text[most], typed=text[: most + 1])  # nobody waits for it
            wanted.append((run.codes[stop], field, text[:most]))
    assert run.notes == []
    with phone_of(profile) as phone:
        phone.ask("open", at=run.at(0))
        held = phone.ask("send")
    assert_begins_like([each["note"] for each in held["notes"]], wanted)
    assert_begins_like(run.notes, wanted)
    assert [note["id"] for note in run.notes] == [each["note"]["id"] for each in held["notes"]]


def assert_begins_like(notes: list[dict[str, Any]], wanted: list[tuple[str, str, str]]) -> None:
    """Each note is there once, in order, with every letter that was seen in the store."""
    assert [(note["code"], note["field"]) for note in notes] == [each[:2] for each in wanted]
    for note, (_, _, typed) in zip(notes, wanted, strict=True):
        assert note["typed"].startswith(typed)
        assert len(note["typed"]) <= len(typed) + 1


def test_ten_kills_lose_no_letter_and_double_no_note(run: Run, tmp_path: Path) -> None:
    """SIGKILL to all of the browser while a letter is on its way to the store."""
    killed(run, tmp_path / "profile", 10, seed=3)


@pytest.mark.long
def test_two_hundred_kills_likewise(run: Run, tmp_path: Path) -> None:
    """The same for longer."""
    killed(run, tmp_path / "profile", 200, seed=4)
