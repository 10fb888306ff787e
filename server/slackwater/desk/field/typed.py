"""What does a typed text mean? A number in SI, one of the words, or the text itself."""

from __future__ import annotations

import math
import re
import sys
from typing import Any

from slackwater.desk.field.forms import Form, Holds
from slackwater.desk.written import lines, one_line
from slackwater.errors import UsageError

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
MOST_CHARACTERS = 10_000
MOST_OF_WORD = 200
TOLD_CHARACTERS = 40
AGREES = 1e-6
"""Phone and server may round differently, no more."""


def understood(form: Form, typed: str, unit: str, sent: Any) -> float | str | None:
    """Give what was typed into a field, as it is understood here; None where it is blank.

    Parameters
    ----------
    sent : what the phone made of it, None where it did not say; held against what is made here.

    Raises
    ------
    UsageError
        Where it cannot be understood, in words for whoever typed it.
    """
    if form.holds is Holds.NUMBER:
        value: float | str | None = _number(form, typed, unit)
    elif unit:
        raise UsageError(f"{form.label} has no unit, not {told(unit)}")
    else:
        value = _text(form, typed)
    if sent is not None and not _agrees(value, sent):
        raise UsageError(f"{form.label}: {told(typed)} was typed, but {told(sent)} came with it")
    return value


def told(value: Any) -> str:
    """Give what was sent in short, fit to be shown."""
    text = "".join(each if each.isprintable() else "?" for each in str(value))
    cut = text if len(text) <= TOLD_CHARACTERS else f"{text[:TOLD_CHARACTERS]}..."
    return f'"{cut}"'


def _number(form: Form, typed: str, unit: str) -> float | None:
    text, units = typed.strip(), form.units or {}
    if not text:
        return None
    if unit not in units:
        raise UsageError(f"{form.label} is given in {', '.join(units)}, not {told(unit)}")
    if len(text) > MOST_OF_WORD or not NUMBER.fullmatch(text):
        raise UsageError(
            f"{form.label} is a number with digits and a point, such as 17.28, not {told(typed)}"
        )
    value = float(text) / units[unit]
    if not math.isfinite(value):
        raise UsageError(f"{form.label}: {told(typed)} is too large a number")
    if value < 0 or (form.above_zero and value == 0):
        least = "above 0" if form.above_zero else "0 or more"
        raise UsageError(f"{form.label} is {least}, not {told(typed)}")
    if form.most is not None and value > form.most:
        most = f"{form.most * units[unit]:g} {unit}"
        raise UsageError(f"{form.label} is at most {most}, not {told(typed)}")
    return value


def _text(form: Form, typed: str) -> str | None:
    if form.holds is Holds.WORD:
        word = one_line(typed, form.label, most=MOST_OF_WORD)
        if word and word not in form.words:
            raise UsageError(f"{form.label} is one of {', '.join(form.words)}, not {told(typed)}")
        return word or None
    if form.holds is Holds.OPTION:
        return one_line(typed, form.label, most=MOST_OF_WORD) or None
    return lines(typed, form.label, most=MOST_CHARACTERS) or None


def _agrees(value: float | str | None, sent: Any) -> bool:
    if isinstance(value, float):
        if isinstance(sent, bool) or not isinstance(sent, int | float):
            return False
        small = abs(sent) <= sys.float_info.max  # a whole number may be larger than any float
        return small and math.isclose(sent, value, rel_tol=AGREES)
    if isinstance(value, str) and isinstance(sent, str):
        return value.split() == sent.split()  # line ends may be written in another way
    return value is None and sent == ""
