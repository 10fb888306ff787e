"""On which days do drifters come past one offtake, before it takes any?

`River.measure` makes these by day for every offtake and remembers them where there is room; where
there is none, they are worked out again here for one offtake, on demand.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.river.kernel import LANES
from slackwater.river.river import River
from slackwater.river.sweeps import sweep_down

Numbers = NDArray[np.float64]


def passing_by_day(river: River, offtake: int, keeps_out: Numbers) -> tuple[Numbers, ...]:
    """Give the heads that come past one offtake by calendar day, all stages together.

    Parameters
    ----------
    offtake : row of the offtakes table.
    keeps_out : (guilds, offtakes) share each offtake's screen keeps alive in the river.

    Returns
    -------
    For each of ``river.seasons``, (days,) heads; passings before the first or after the last day
    of the season-year are counted on it (section 7 of the methods page).
    """
    layout = river.layout
    place = int(np.flatnonzero(layout.offtake_of == offtake)[0])
    reach = river.catchment.reach_index[offtake]
    offtakes, reaches = len(layout.offtake_of), len(layout.tail_m)
    unused, counted, settled = np.zeros(offtakes), np.zeros((5, LANES)), np.zeros(reaches + 1)
    passing = []
    for position, season in enumerate(river.seasons):
        c = river.conditions(position)
        kept = keeps_out[season.guild][layout.offtake_of]
        heads = np.zeros(season.day_share.shape[1])
        for cohorts in season.blocks:
            arriving = np.zeros((offtakes, c.stages, LANES))
            sweep_down(layout, c, kept, cohorts, -1, False, arriving, unused, counted, settled)
            day = np.clip(cohorts - season.lag_days[reach], 0, len(heads) - 1)
            np.add.at(heads, day, arriving[place].sum(axis=0))
        passing.append(heads)
    return tuple(passing)
