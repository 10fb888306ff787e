"""What did a hall see, and when? The steps, and what was done there beside stepping."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

MOST_SHOWN = 300
HELD, LET_GO = "held", "let go"
TRIAL_SHOWN, TRIAL_STOPPED = "trial shown", "trial stopped"
AGREED_CASE, AGREED_TRIAL, TAKEN_BACK = "agreed case", "agreed trial", "taken back"


@dataclass(frozen=True)
class Stood:
    """A step that the wall showed from a moment on; ISO, UTC."""

    at: str
    step: str


@dataclass(frozen=True)
class Done:
    """Something else that was done; ISO, UTC."""

    at: str
    what: str


class WasAgreed(Protocol):
    """What was agreed, and when."""

    @property
    def what(self) -> str:
        """Give "case", "trial" or "" for nothing."""

    @property
    def at(self) -> str:
        """Give the moment."""


def noted(
    done: tuple[Done, ...], at: str, *, held: bool, trial: bool, agreed: WasAgreed
) -> tuple[Done, ...]:
    """Give what was done with what is new in it; of very many the newest are kept.

    A wall that is held shows no trial that came since; it counts from when the wall is let go.
    """
    return (*done, *_new(done, at, held, trial, agreed))[-MOST_SHOWN:]


def _new(
    done: Sequence[Done], at: str, held: bool, trial: bool, agreed: WasAgreed
) -> Iterator[Done]:
    if held != (_last(done, (HELD, LET_GO)).what == HELD):
        yield Done(at, HELD if held else LET_GO)
    if not held and trial != (_last(done, (TRIAL_SHOWN, TRIAL_STOPPED)).what == TRIAL_SHOWN):
        yield Done(at, TRIAL_SHOWN if trial else TRIAL_STOPPED)
    last = _last(done, (AGREED_CASE, AGREED_TRIAL, TAKEN_BACK))
    if agreed.what:
        now = Done(agreed.at, AGREED_CASE if agreed.what == "case" else AGREED_TRIAL)
        if now != last:
            yield now
    elif last.what in (AGREED_CASE, AGREED_TRIAL):
        yield Done(at, TAKEN_BACK)


def _last(done: Sequence[Done], among: Collection[str]) -> Done:
    """Give the newest of some kinds; one of no kind where there is none."""
    return next((each for each in reversed(done) if each.what in among), Done("", ""))
