"""How are numbers written for people? Sensible digits, unit beside them, British marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, datetime

SPACE = "\u00a0"
NOTHING = "–"
MILLION_FROM = 999_500


def decimals(value: float, digits: int = 0) -> str:
    """Give a number with a fixed count of decimals and thousands marks."""
    return f"{value:,.{digits}f}".replace("-", "−")


def figures(value: float | None, count: int = 3) -> str:
    """Give a number to about ``count`` significant figures, never in exponents."""
    if value is None or not math.isfinite(value):
        return NOTHING
    if value == 0:
        return "0"
    rounded = abs(float(f"{value:.{count}g}"))
    whole = math.floor(math.log10(rounded)) + 1
    return decimals(value, min(6, max(0, count - whole)))


def tidy(value: float, count: int = 3) -> str:
    """Give a number to at most ``count`` significant figures, without zeros it does not need."""
    rounded = float(f"{value:.{count}g}")
    return decimals(rounded) if rounded == int(rounded) else f"{rounded:,}".replace("-", "−")


def tidy_percent(share: float) -> str:
    """Give a share as per cent inside a sentence: "6 %", "0.26 %"."""
    return f"{tidy(100 * share, 2)}{SPACE}%"


def percent(share: float | None) -> str:
    """Give a share 0..1 as per cent: "71 %", "0.42 %", "below 0.01 %"."""
    if share is None:
        return NOTHING
    if 0 < share < 1e-4:
        return f"below{SPACE}0.01{SPACE}%"
    return f"{figures(100 * share, 2)}{SPACE}%"


def money(amount: float | None, currency: str = "") -> str:
    """Give money to the hundred: "68,400 CDL", "1.24 million CDL"."""
    if amount is None:
        return NOTHING
    unit = f"{SPACE}{currency}" if currency else ""
    if abs(amount) >= MILLION_FROM:
        return f"{figures(amount / 1e6, 3)}{SPACE}million{unit}"
    return f"{decimals(round_half_up(amount, 100))}{unit}"


def whole_money(amount: float | None, currency: str = "") -> str:
    """Give money to the unit, as it is promised: "68,413 CDL"."""
    if amount is None:
        return NOTHING
    return decimals(round_half_up(amount, 1)) + (f"{SPACE}{currency}" if currency else "")


def short_money(amount: float) -> str:
    """Give money at a glance, its unit said elsewhere: "2.48 M", "248,400"."""
    if abs(amount) >= MILLION_FROM:
        return f"{decimals(amount / 1e6, 2)}{SPACE}M"
    return decimals(round_half_up(amount, 100))


def round_half_up(amount: float, step: int) -> int:
    """Round to a whole step, halves up."""
    return math.floor(amount / step + 0.5) * step


def long_date(moment: date | datetime | str) -> str:
    """Give a day as "30 June 2021"."""
    day = datetime.fromisoformat(moment) if isinstance(moment, str) else moment
    return f"{day.day}{SPACE}{day:%B}{SPACE}{day.year}"


def short_date(day: str) -> str:
    """Give a day as "30 Jun 2021", its parts kept together."""
    moment = datetime.fromisoformat(day)
    return f"{moment.day}{SPACE}{moment:%b}{SPACE}{moment.year}"


def count_of(number: int, thing: str) -> str:
    """Give "1 offtake", "41 offtakes", "no offtake"."""
    if number == 0:
        return f"no {thing}"
    return f"{decimals(number)}{SPACE}{thing}" + ("" if number == 1 else "s")


def ordinal(number: int) -> str:
    """Give "1st", "22nd", "113th"."""
    last = 0 if 11 <= number % 100 <= 13 else number % 10
    return f"{decimals(number)}{('th', 'st', 'nd', 'rd')[last] if last < 4 else 'th'}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Give "cod, perch and gudgeon"."""
    if len(words) < 2:
        return words[0] if words else ""
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def sentence(words: str) -> str:
    """Give words with a capital at their head and a stop at their end."""
    told = words.strip()
    if not told:
        return ""
    return told[0].upper() + told[1:] + ("" if told[-1] in ".!?" else ".")


def inside_a_sentence(name: str) -> str:
    """Give a name as it stands inside a sentence: no capital at its head, abbreviations as is."""
    return name[0].lower() + name[1:] if name[:1].isupper() and name[1:2].islower() else name
