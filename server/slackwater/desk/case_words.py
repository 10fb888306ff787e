"""The sentence a case is headed by: what is spent on how many, and what that saves."""

from __future__ import annotations

MILLION_FROM = 999_500


def headline(
    *, count: int, spent: float, budget: float, benefit_share: float, currency: str, close: int
) -> str:
    """Say "41 offtakes, 2.48 M of 2.50 M CDL, avoiding 62 % of the loss to pumps; ..."."""
    unit = f" {currency}" if currency else ""
    if count == 0:
        return f"No offtake is funded from a budget of {short_money(budget)}{unit}."
    calls = "no close call" if close == 0 else f"{close:,} close call{'s' if close > 1 else ''}"
    return (
        f"{offtake_count(count)}, {short_money(spent)} of {short_money(budget)}{unit}, avoiding "
        f"{percent(benefit_share)} of the loss to pumps; {calls}."
    )


def offtake_count(count: int) -> str:
    """Say "1 offtake", "41 offtakes"."""
    return f"{count:,} offtake{'' if count == 1 else 's'}"


def short_money(amount: float) -> str:
    """Money at a glance: "2.48 M", "248,400"; its currency is said once, elsewhere."""
    if abs(amount) >= MILLION_FROM:
        return f"{amount / 1e6:,.2f} M"
    return f"{100 * round(amount / 100):,.0f}"


def percent(share: float) -> str:
    """Share as per cent to two figures: "62 %", "4.9 %", "0.42 %"."""
    hundredths = 100 * share
    if 0 < hundredths < 0.01:
        return "below 0.01 %"
    rounded = abs(float(f"{hundredths:.2g}"))
    digits = 0 if rounded >= 10 or rounded == 0 else 1 if rounded >= 1 else 2
    return f"{hundredths:,.{digits}f} %"


def joined(words: list[str]) -> str:
    """Join words as people do: "a, b and c"."""
    *first, last = words or [""]
    return f"{', '.join(first)} and {last}" if first else last
