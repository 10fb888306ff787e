"""What do screens keep alive, one by one, as a set, and at the least and the most?

Sections 6 and 8 of the methods page: by guild, of drifters and of residents.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.screens import kept_alive

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Screens:
    """What screens keep alive, as arrays.

    Attributes
    ----------
    fitted : (guilds, offtakes) drifters, by what is fitted today.
    kept : option id -> (guilds,) drifters.
    residents_over_fitted : option id -> (guilds, offtakes) residents more than what is fitted.
    """

    fitted: Numbers
    kept: Mapping[str, Numbers]
    residents_over_fitted: Mapping[str, Numbers]

    def with_set(self, catchment: Catchment, chosen: Mapping[str, str]) -> Numbers:
        """(guilds, offtakes) share kept alive with a set in place; ids unknown change nothing."""
        keeps, index = self.fitted.copy(), catchment.table("offtakes").index
        for offtake_id, option_id in chosen.items():
            if offtake_id in index and option_id in self.kept:
                keeps[:, index[offtake_id]] = self.kept[option_id]
        return keeps

    def residents_of_set(
        self, catchment: Catchment, chosen: Mapping[str, str], residents_adults: Numbers
    ) -> Numbers:
        """(guilds, years) adults of residents a set saves; ids unknown change nothing."""
        saved, index = np.zeros(residents_adults.shape[:2]), catchment.table("offtakes").index
        for offtake_id, option_id in chosen.items():
            if offtake_id in index and option_id in self.kept:
                at = index[offtake_id]
                more = self.residents_over_fitted[option_id][:, at]
                saved += residents_adults[:, :, at] * more[:, None]
        return saved

    def extremes(self, costs: Sequence[Mapping[str, float]]) -> tuple[Numbers, Numbers]:
        """(guilds, offtakes) least and most kept by what is fitted or any option that can go on."""
        bottom, top = self.fitted.copy(), self.fitted.copy()
        for offtake, options in enumerate(costs):
            for option_id in options:
                bottom[:, offtake] = np.minimum(bottom[:, offtake], self.kept[option_id])
                top[:, offtake] = np.maximum(top[:, offtake], self.kept[option_id])
        return bottom, top


def screens_of(catchment: Catchment) -> Screens:
    """Lay out what screens keep alive."""
    drifters, residents = kept_alive(catchment)
    fitted = [str(name) for name in catchment.table("offtakes").text("fitted")]
    residents_now = np.array([residents[name] for name in fitted]).T
    return Screens(
        fitted=np.array([drifters[name] for name in fitted]).T,
        kept=drifters,
        residents_over_fitted={o: r[:, None] - residents_now for o, r in residents.items()},
    )
