"""Of those that would have been taken, what share does a screen keep alive in the river?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment

Numbers = NDArray[np.float64]
Positions = NDArray[np.int64]


@dataclass(frozen=True)
class Efficacy:
    """Shares kept alive; row ``none`` (the last) is no screen and all 0.

    Attributes
    ----------
    drifter, resident : (options + 1, guilds); a pair missing in the data is 0.
    fitted : (offtakes,) row of the screen fitted today.
    """

    drifter: Numbers
    resident: Numbers
    fitted: Positions

    def of_drifters(self, screen: Positions) -> Numbers:
        """(guilds, offtakes) share of drifters kept alive by a screen row an offtake."""
        kept: Numbers = self.drifter[screen].T
        return kept

    def of_residents(self, screen: Positions) -> Numbers:
        """(guilds, offtakes) share of residents kept alive by a screen row an offtake."""
        kept: Numbers = self.resident[screen].T
        return kept


def efficacy_of(catchment: Catchment) -> Efficacy:
    """Lay the efficacy table out by option and guild."""
    options, guilds = catchment.table("options"), catchment.table("guilds")
    table = catchment.table("efficacy")
    drifter = np.zeros((len(options) + 1, len(guilds)))
    resident = np.zeros_like(drifter)
    for option_id, guild_id, kept, own in zip(
        table.text("option_id"),
        table.text("guild_id"),
        table.number("drifter"),
        table.number("resident"),
        strict=True,
    ):
        at = options.index[option_id], guilds.index[guild_id]
        drifter[at] = kept
        resident[at] = kept if np.isnan(own) else own
    fitted = [
        len(options) if name == "none" else options.index[name]
        for name in catchment.table("offtakes").text("fitted")
    ]
    return Efficacy(drifter, resident, np.array(fitted, np.int64))
