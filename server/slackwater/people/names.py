"""What may an account be called, and when are two names the same?"""

from __future__ import annotations

import unicodedata

from slackwater.errors import UsageError

MOST_OF_NAME = 100


def sound_name(text: str) -> str:
    """Give the name of an account without the spaces around it.

    Raises
    ------
    UsageError
        Where it is empty, too long, or could not be told apart or written into an address.
    """
    fault = fault_of(text)
    if fault:
        raise UsageError(f"the name of an account {fault}")
    return text.strip()


def fault_of(text: str) -> str:
    """Say what keeps a text from being the name of an account, "" where nothing does."""
    name = text.strip()
    if not 1 <= len(name) <= MOST_OF_NAME:
        return f"has 1 to {MOST_OF_NAME} characters"
    if any(_is_unseen(each) for each in name):
        return "holds no control characters and no invisible ones"
    if "/" in key_of(name) or not name.strip("."):
        return "holds no slash, and more than dots"
    return ""


def key_of(name: str) -> str:
    """Give what two spellings of one name have in common: capitals and width do not count."""
    return unicodedata.normalize("NFKC", name.strip()).casefold()


def _is_unseen(character: str) -> bool:
    """Whether it is a control character, one that shows nothing, or the end of a line."""
    kind = unicodedata.category(character)
    return kind.startswith("C") or kind in ("Zl", "Zp")
