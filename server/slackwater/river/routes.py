"""Where do the drifters that an offtake takes come from, and where would they have settled?

Section 6 of the methods page, ``from_ij`` and ``to_ij``; worked out on demand for one offtake.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.river.kernel import LANES
from slackwater.river.river import River
from slackwater.river.sweeps import sweep_down, sweep_up

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Routes:
    """Routes of one offtake by guild, season-year and reach, in the order of the reaches table.

    Attributes
    ----------
    from_reach : (guilds, years, reaches) heads released in a reach that the offtake takes; sums
        to its ``taken``.
    to_reach : (guilds, years, reaches) worth a reach would have had, had it taken none.
    to_outlet : (guilds, years) the same at the outlets; all of it sums to its ``loss``.
    """

    from_reach: Numbers
    to_reach: Numbers
    to_outlet: Numbers


def routes_of(river: River, offtake: int, keeps_out: Numbers) -> Routes:
    """Trace one offtake, the others as ``keeps_out`` (guilds, offtakes) has them."""
    guilds, years, n = river.shape
    layout = river.layout
    reaches = len(layout.tail_m)
    place = int(np.flatnonzero(layout.offtake_of == offtake)[0])
    from_reach, to_reach = (np.zeros((guilds, years, reaches)) for _ in range(2))
    to_outlet = np.zeros((guilds, years))
    for position, season in enumerate(river.seasons):
        c = river.conditions(position)
        kept = keeps_out[season.guild][layout.offtake_of]
        at = season.guild, season.year
        for cohorts in season.blocks:
            arriving = np.zeros((n, c.stages, LANES))
            taken, unused = np.zeros(n), np.zeros(n)
            counted, settled = np.zeros((5, LANES)), np.zeros(reaches + 1)
            sources = np.zeros(reaches)
            sweep_down(layout, c, kept, cohorts, -1, False, arriving, taken, counted, settled)
            settled[:] = 0.0
            sweep_down(layout, c, kept, cohorts, place, True, arriving, taken, counted, settled)
            sweep_up(layout, c, kept, cohorts, arriving[:0], place, unused, unused, sources)
            from_reach[at][layout.reach_of] += sources
            to_reach[at][layout.reach_of] += settled[:-1] * c.nursery
            to_outlet[at] += settled[-1] * c.outlet_value
    return Routes(from_reach, to_reach, to_outlet)
