"""What does the facilitator decide? The step, what is shown beside it, and what was agreed.

This is all of a meeting that outlives a service: a phone sends its weights again by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from slackwater.errors import UsageError
from slackwater.meeting.history import MOST_SHOWN, Done, Stood, noted
from slackwater.meeting.weightings import Weights

STEPS = ("river", "problem", "screens", "list", "room", "choice")
"""The prepared views, in the order in which they are gone through."""
SAME = "same"
AGREED = ("", "case", "trial", SAME)
MOST_OF_WORDS = 600


def iso_now() -> str:
    """Give the time as ISO text, UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


@dataclass(frozen=True)
class Agreed:
    """What the hall agreed, as the facilitator wrote it down.

    Attributes
    ----------
    what : "" for nothing, "case" for the case as it stands, "trial" for the one shown then.
    weights : of that trial; None else.
    at : when it was agreed, whenever words were changed since; ISO, UTC, "" for nothing.
    revision : one more with each change.
    """

    what: str = ""
    words: str = ""
    left_open: str = ""
    weights: Weights | None = None
    at: str = ""
    revision: int = 0


@dataclass(frozen=True)
class Led:
    """All that is in the facilitator's hand.

    Attributes
    ----------
    step : chosen last; a wall that is held may still show another.
    trial : weights of the trial that is shown, as they were then; None where none is.
    shown : the steps the wall showed, the first first.
    done : what else was done there: held, a trial shown, agreed.
    """

    step: str = STEPS[0]
    held: bool = False
    door_open: bool = True
    trial: Weights | None = None
    agreed: Agreed = Agreed()
    shown: tuple[Stood, ...] = ()
    done: tuple[Done, ...] = ()

    def stood_at(self, at: str) -> Led:
        """Note what the wall shows now and what was done; of very many the newest are kept."""
        done = noted(
            self.done, at, held=self.held, trial=self.trial is not None, agreed=self.agreed
        )
        shown = self.shown
        if not self.held and not (shown and shown[-1].step == self.step):
            shown = (*shown, Stood(at, self.step))[-MOST_SHOWN:]
        return replace(self, shown=shown, done=done)

    def as_dict(self) -> dict[str, Any]:
        """Give plain JSON values, to be kept."""
        return {
            "step": self.step,
            "held": self.held,
            "trial": _plain(self.trial),
            "agreed": {
                "what": self.agreed.what,
                "words": self.agreed.words,
                "left_open": self.agreed.left_open,
                "weights": _plain(self.agreed.weights),
                "at": self.agreed.at,
                "revision": self.agreed.revision,
            },
            "shown": [[each.at, each.step] for each in self.shown],
            "done": [[each.at, each.what] for each in self.done],
        }


def led_of(kept: Mapping[str, Any]) -> Led:
    """Read what `Led.as_dict` gave; the door is open, as every phone has to join again."""
    agreed = kept["agreed"]
    return Led(
        step=kept["step"],
        held=kept["held"],
        trial=_weights(kept["trial"]),
        agreed=Agreed(**{**agreed, "weights": _weights(agreed["weights"])}),
        shown=tuple(Stood(at, step) for at, step in kept["shown"]),
        done=tuple(Done(at, what) for at, what in kept["done"]),
    )


def require_step(step: str) -> None:
    """Refuse a step that is not there.

    Raises
    ------
    UsageError
        Where it is not.
    """
    if step not in STEPS:
        raise UsageError(f"a step is one of {', '.join(STEPS)}")


def agreed_on(what: str, words: str, left_open: str, led: Led, at: str) -> Agreed:
    """Give what is agreed now, of a trial the one that is shown; its revision is as before.

    Words never change what is agreed: "same" leaves all else as it stood.

    Raises
    ------
    UsageError
        Where a trial is agreed that nobody was shown, or texts are too long.
    """
    if what not in AGREED:
        raise UsageError("what is agreed is the case, the trial, nothing, or the same as before")
    if max(len(words), len(left_open)) > MOST_OF_WORDS:
        raise UsageError(f"at most {MOST_OF_WORDS} characters are kept")
    before = replace(led.agreed, words=words, left_open=left_open)
    if what == "trial" and led.trial is None:
        raise UsageError("show the trial first; what nobody saw cannot be agreed")
    weights = led.trial if what == "trial" else None
    if what == SAME or (what, weights) == (before.what, before.weights):
        return before
    return replace(before, what=what, weights=weights, at=at if what else "")


def _plain(weights: Weights | None) -> list[int] | None:
    return None if weights is None else list(weights)


def _weights(kept: Sequence[int] | None) -> Weights | None:
    return None if kept is None else tuple(kept)
