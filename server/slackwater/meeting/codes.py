"""How is a meeting called? By six letters and digits that can be read out in a hall."""

from __future__ import annotations

import secrets

from slackwater.errors import UsageError

LETTERS = "23456789BCDFGHJKMNPQRTVWXYZ"
"""No vowel, so that no word comes of it; and none of 0 O, 1 I L, S, which are read for others."""
LENGTH = 6
MOST_TYPED = 40
"""Characters that are looked at; whoever sends more sends no code."""


def new_code() -> str:
    """Give a code by chance, one of 387 million."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


def tidied_code(text: str) -> str:
    """Give a code as it is kept, however it was typed: "k7r-m4p" is "K7RM4P".

    Raises
    ------
    UsageError
        Where no code stands there.
    """
    typed = "".join(each for each in text[: MOST_TYPED + 1] if each.isalnum()).upper()
    if len(text) > MOST_TYPED or len(typed) != LENGTH or set(typed) - set(LETTERS):
        raise UsageError("a meeting code is six letters and digits, such as K7R M4P")
    return typed


def spaced_code(code: str) -> str:
    """Give a code as it is read out: "K7R M4P"."""
    return f"{code[:3]} {code[3:]}"
