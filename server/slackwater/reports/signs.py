"""Which sign stands for an offtake? A shape, never a hue, so that black alone suffices."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Sign(StrEnum):
    """How an offtake stands in a case; the word names its drawing in the templates."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    CLOSE_IN = "close_in"
    CLOSE_OUT = "close_out"
    HAND_IN = "hand_in"
    HAND_OUT = "hand_out"
    NOT_IN_ROUND = "not_in_round"


WORDS = {
    Sign.INSIDE: "inside the budget",
    Sign.CLOSE_IN: "inside, a close call",
    Sign.HAND_IN: "inside, kept in by hand",
    Sign.OUTSIDE: "outside",
    Sign.CLOSE_OUT: "outside, a close call",
    Sign.HAND_OUT: "outside, left out by hand",
    Sign.NOT_IN_ROUND: "built or not in this round",
}
"""In the order of a legend."""

INSIDE = frozenset({Sign.INSIDE, Sign.CLOSE_IN, Sign.HAND_IN})


@dataclass(frozen=True)
class LegendEntry:
    """One line of a legend: a sign, its words and how many offtakes carry it."""

    sign: Sign
    words: str
    count: int


def legend_of(signs: Iterable[Sign]) -> tuple[LegendEntry, ...]:
    """Give a legend of the signs that are there, in a fixed order."""
    carried = list(signs)
    return tuple(
        LegendEntry(sign, words, carried.count(sign))
        for sign, words in WORDS.items()
        if sign in carried
    )


def sign_of(*, state: str, by_hand: str, close_call: bool) -> Sign:
    """Give an offtake's sign.

    Parameters
    ----------
    state : ``inside``, ``outside`` or ``not_in_round``.
    by_hand : ``kept_in``, ``left_out`` or "".
    """
    if state == "inside":
        return Sign.HAND_IN if by_hand else Sign.CLOSE_IN if close_call else Sign.INSIDE
    if by_hand == "left_out":
        return Sign.HAND_OUT
    if state == "not_in_round":
        return Sign.NOT_IN_ROUND
    return Sign.CLOSE_OUT if close_call else Sign.OUTSIDE
