"""What may people write into a name, a note or a reason? Text, as long as it is sensible."""

from __future__ import annotations

import unicodedata

from slackwater.errors import UsageError

MOST_OF_NAME = 120
MOST_OF_REASON = 1_000
MOST_OF_NOTE = 4_000


def one_line(text: str, what: str, *, most: int = MOST_OF_NAME, needed: bool = False) -> str:
    """Give a text without the spaces around it.

    Parameters
    ----------
    what : what the text is, for the refusal: "the name of a case".

    Raises
    ------
    UsageError
        Where it is too long, holds a control character (tab and line end too), or is empty though
        ``needed``.
    """
    stripped = text.strip()
    if needed and not stripped:
        raise UsageError(f"{what} is empty; write one, of 1 to {most} characters")
    if len(stripped) > most:
        raise UsageError(f"{what} has {len(stripped)} characters; at most {most} are kept")
    if any(unicodedata.category(each) == "Cc" for each in stripped):
        raise UsageError(f"{what} holds a control character; take out tabs, line ends and the like")
    return stripped


def lines(text: str, what: str, *, most: int = MOST_OF_NOTE) -> str:
    """Give a text of several lines, their ends written alike; no other control character.

    Raises
    ------
    UsageError
        Where it is too long or holds a control character.
    """
    written = text.replace("\r\n", "\n").replace("\r", "\n").strip()
    if len(written) > most:
        raise UsageError(f"{what} has {len(written)} characters; at most {most} are kept")
    for line in written.split("\n"):
        one_line(line, what, most=most)
    return written
