"""What does the facilitator decide? The step, what is shown beside it, and what was agreed.

This is all of a meeting that outlives a service: a phone sends its weights again by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from slackwater.errors import UsageError
from slackwater.meeting.weightings import Weights

STEPS = ("river", "problem", "screens", "list", "room", "choice")
"""The prepared views, in the order in which they are gone through."""
AGREED = ("", "case", "trial")
MOST_SHOWN = 300
MOST_OF_WORDS = 600


@dataclass(frozen=True)
class Agreed:
    """What the hall agreed, as the facilitator wrote it down.

    Attributes
    ----------
    what : "" for nothing, "case" for the case as it stands, "trial" for the one shown then.
    weights : of that trial; None else.
    """

    what: str = ""
    words: str = ""
    left_open: str = ""
    weights: Weights | None = None


@dataclass(frozen=True)
class Stood:
    """A step that the wall showed from a moment on; ISO, UTC."""

    at: str
    step: str


@dataclass(frozen=True)
class Led:
    """All that is in the facilitator's hand.

    Attributes
    ----------
    step : chosen last; a wall that is held may still show another.
    trial : weights of the trial that is shown, as they were then; None where none is.
    shown : the steps the wall showed, the first first.
    """

    step: str = STEPS[0]
    held: bool = False
    door_open: bool = True
    trial: Weights | None = None
    agreed: Agreed = Agreed()
    shown: tuple[Stood, ...] = ()

    def stood_at(self, at: str) -> Led:
        """Note that the wall shows the step now; of very many the newest are kept."""
        if self.held or (self.shown and self.shown[-1].step == self.step):
            return self
        return replace(self, shown=(*self.shown, Stood(at, self.step))[-MOST_SHOWN:])

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
            },
            "shown": [[each.at, each.step] for each in self.shown],
        }


def led_of(kept: Mapping[str, Any]) -> Led:
    """Read what `Led.as_dict` gave; the door is open, as every phone has to join again."""
    agreed = kept["agreed"]
    return Led(
        step=kept["step"],
        held=kept["held"],
        trial=_weights(kept["trial"]),
        agreed=Agreed(
            agreed["what"], agreed["words"], agreed["left_open"], _weights(agreed["weights"])
        ),
        shown=tuple(Stood(at, step) for at, step in kept["shown"]),
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


def agreed_on(what: str, words: str, left_open: str, led: Led) -> Agreed:
    """Give what is agreed: of a trial the one that is shown, else the one agreed before.

    Raises
    ------
    UsageError
        Where a trial is agreed that nobody was shown, or texts are too long.
    """
    if what not in AGREED:
        raise UsageError("what is agreed is the case, the trial, or nothing")
    if max(len(words), len(left_open)) > MOST_OF_WORDS:
        raise UsageError(f"at most {MOST_OF_WORDS} characters are kept")
    if what != "trial":
        return Agreed(what, words, left_open)
    weights = led.agreed.weights if led.trial is None else led.trial
    if weights is None:
        raise UsageError("show the trial first; what nobody saw cannot be agreed")
    return Agreed(what, words, left_open, weights)


def _plain(weights: Weights | None) -> list[int] | None:
    return None if weights is None else list(weights)


def _weights(kept: Sequence[int] | None) -> Weights | None:
    return None if kept is None else tuple(kept)
