"""Do the guilds' seasons and the screens' efficacies make sense?"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from slackwater.catchment.draft import Draft

WINDOW = ("window_start", "window_full", "window_easing", "window_end")
TEMPERATURES = ("temp_min", "temp_full", "temp_easing", "temp_max")
MONTH_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
YEAR_DAYS = sum(MONTH_DAYS)


def check_fish(drafts: Mapping[str, Draft], season_start_month: int, *, month_known: bool) -> None:
    """Report corners out of order and efficacies outside their own range.

    Parameters
    ----------
    month_known : false where the setting ``season_start_month`` is at fault.
    """
    guilds = drafts["guilds"]
    if month_known:
        for position in np.flatnonzero(guilds.sound(*WINDOW)):
            _check_window(guilds, int(position), season_start_month)
    for position in np.flatnonzero(guilds.sound(*TEMPERATURES)):
        _check_temperatures(guilds, int(position))
    check_low_high(drafts["efficacy"], "drifter", "low", "high")


def _check_window(guilds: Draft, position: int, season_start_month: int) -> None:
    """Report corners that do not follow one another from the season's start to its end."""
    days = [season_day(str(guilds.text(name)[position]), season_start_month) for name in WINDOW]
    steps = [after - before for before, after in pairwise(days)]
    back = next((i for i, step in enumerate(steps) if step < 0), None)
    if back is None:
        return
    # once around the year at most: then they are in order, but the season starts among them
    if sum(step % YEAR_DAYS for step in steps) < YEAR_DAYS:
        guilds.fault(
            position,
            WINDOW[back + 1],
            "window_over_season_start",
            "the window lies over the start of the season-year, month "
            f"{season_start_month}: move season_start_month",
        )
        return
    guilds.fault(
        position,
        WINDOW[back + 1],
        "corners_out_of_order",
        f"a day on or after {WINDOW[back]}; the order is {' <= '.join(WINDOW)}",
    )


def season_day(day: str, season_start_month: int) -> int:
    """Give the number of a day MM-DD within the season-year of a leap year, its first being 0."""
    month, of_month = int(day[:2]), int(day[3:])
    before = sum(MONTH_DAYS[: month - 1])
    start = sum(MONTH_DAYS[: season_start_month - 1])
    return (before + of_month - 1 - start) % YEAR_DAYS


def _check_temperatures(guilds: Draft, position: int) -> None:
    filled = [name for name in TEMPERATURES if not np.isnan(guilds.number(name)[position])]
    for before, after in pairwise(filled):
        if guilds.number(after)[position] < guilds.number(before)[position]:
            guilds.fault(
                position,
                after,
                "corners_out_of_order",
                f"at least {before}; the order is {' <= '.join(TEMPERATURES)}",
            )
            return


def check_low_high(draft: Draft, value: str, low: str, high: str) -> None:
    """Report a low above its value, or a high below it."""
    middle, least, most = draft.number(value), draft.number(low), draft.number(high)
    for position in np.flatnonzero(draft.sound(value, low) & (least > middle)):
        draft.fault(int(position), low, "low_above_value", f"at most {value}, {middle[position]:g}")
    for position in np.flatnonzero(draft.sound(value, high) & (most < middle)):
        draft.fault(
            int(position), high, "high_below_value", f"at least {value}, {middle[position]:g}"
        )
