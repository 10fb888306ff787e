"""What is a run of field days chosen from? Places, ways, times, worth, and what must be seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import UsageError
from slackwater.visits.travel import Travel

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Day:
    """One day out.

    Attributes
    ----------
    depot : position of the place it starts from and ends at, among the depots.
    length_s : from leaving there to being back.
    """

    depot: int
    length_s: int


@dataclass(frozen=True, eq=False)
class Problem:
    """A run to be planned; places are the sites, then the depots.

    Attributes
    ----------
    travel_s : (places, places) whole seconds, rounded up.
    travel_m : (places, places) metres.
    service_s : (sites,) whole seconds at each site.
    worth : (sites,) what seeing it is worth, in any unit; 0 and above.
    must : (sites,) bool, to be seen whatever it is worth.
    """

    travel_s: Whole
    travel_m: Numbers
    service_s: Whole
    worth: Numbers
    must: Flags
    days: tuple[Day, ...]

    @property
    def sites(self) -> int:
        """Count of sites."""
        return len(self.worth)

    def depot_of(self, day: int) -> int:
        """Position of a day's depot among the places."""
        return self.sites + self.days[day].depot

    def alone_s(self, day: int) -> Whole:
        """(sites,) seconds that a day takes with one site alone."""
        depot = self.depot_of(day)
        out, back = self.travel_s[depot, : self.sites], self.travel_s[: self.sites, depot]
        return out + self.service_s + back

    def within(self, days: int) -> Problem:
        """Give the same with the first days alone."""
        return Problem(
            self.travel_s, self.travel_m, self.service_s, self.worth, self.must, self.days[:days]
        )


class MustsDoNotFit(UsageError):
    """What must be seen does not fit into the days.

    Attributes
    ----------
    site : the one that alone is too far for any day; None where they are too many together.
    short_s : seconds by which the longest day, or all days together, are short.
    """

    def __init__(self, site: int | None, short_s: int) -> None:
        self.site, self.short_s = site, short_s
        what = "a site that must be seen is" if site is not None else "sites that must be seen are"
        super().__init__(f"{what} too far: short by {short_s} s")


def problem_of(
    travel: Travel, service_s: Numbers, worth: Numbers, must: Flags, days: tuple[Day, ...]
) -> Problem:
    """Lay out a run; seconds are rounded up, so that what fits in whole seconds fits.

    Raises
    ------
    UsageError
        Where there is no day, or a number is below 0 or not finite.
    """
    if not days:
        raise UsageError("a run has at least one day")
    for numbers in (travel.seconds, travel.metres, service_s, worth):
        if not (np.isfinite(numbers).all() and (numbers >= 0).all()):
            raise UsageError("travel, time at a site and worth are finite and not below 0")
    return Problem(
        np.ceil(travel.seconds).astype(np.int64),
        travel.metres,
        np.ceil(service_s).astype(np.int64),
        worth,
        must,
        days,
    )
