"""How large a screen does each intake need, and which options can go on it?

Section 8 of the methods page.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.settings import ScreenCriteria
from slackwater.catchment.table import Table

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Sizing:
    """The screen of each option at each offtake; arrays are (offtakes, options) where not said.

    Attributes
    ----------
    approach_ms : (options,) design approach velocity.
    slot_ms : (options,) velocity through the openings; infinite where nothing is open.
    area_m2 : effective area needed.
    units : whole units that give it.
    brings_power : power has to be brought.
    obstacles : what stands against an option, by word (kind, opening, depth, power, life, fitted).
    depth_unknown : (offtakes,) no depth is known: feasible, to be measured.
    """

    approach_ms: Numbers
    slot_ms: Numbers
    area_m2: Numbers
    units: Numbers
    brings_power: Flags
    obstacles: Mapping[str, Flags]
    depth_unknown: Flags

    @cached_property
    def feasible(self) -> Flags:
        """(offtakes, options) nothing stands against it."""
        return ~np.logical_or.reduce(list(self.obstacles.values()))


def approach_velocity_ms(options: Table, criteria: ScreenCriteria) -> Numbers:
    """(options,) the lower of the option's and the criteria set's approach velocity.

    The passive limit holds where nothing cleans the screen; an absent limit does not bind.
    """
    active = criteria.approach_velocity_ms
    passive = criteria.approach_velocity_passive_ms
    limit = np.where(
        options.text("cleaning") == "none",
        np.inf if passive is None else passive,
        np.inf if active is None else active,
    )
    return np.minimum(options.number("approach_velocity_ms"), limit)


def units_needed(capacity_m3s: Numbers, approach_ms: Numbers, unit_area_m2: Numbers) -> Numbers:
    """Whole units whose effective area passes the capacity at the approach velocity.

    Source: effective area = largest flow / approach velocity (US NMFS, juvenile fish screen
    criteria for pump intakes).
    """
    return np.maximum(1.0, np.ceil(capacity_m3s / approach_ms / unit_area_m2 - 1e-9))


def size_screens(catchment: Catchment) -> Sizing:
    """Size every option at every offtake and say what stands against it."""
    offtakes, options = catchment.table("offtakes"), catchment.table("options")
    criteria = catchment.settings.screen_criteria
    approach = approach_velocity_ms(options, criteria)
    capacity = offtakes.number("capacity_m3s")[:, None]
    everywhere = np.ones((len(offtakes), len(options)), bool)
    allowed = [str(kinds).replace(" ", "") for kinds in options.text("kinds")]
    kind_fits = np.array(
        [[not kinds or kind in kinds.split(";") for kinds in allowed]
         for kind in offtakes.text("kind")], bool
    ).reshape(everywhere.shape)  # fmt: skip
    depth = offtakes.number("intake_depth_m")
    depth = np.where(
        np.isnan(depth),
        catchment.table("reaches").number("depth_m")[catchment.reach_index],
        depth,
    )
    brings_power = (options.text("needs_power") == "yes") & (offtakes.text("power") != "yes")[
        :, None
    ]
    can_bring = "power" in set(catchment.table("prices").text("item"))
    most_mm = np.inf if criteria.max_opening_mm is None else criteria.max_opening_mm
    open_share = options.number("open_share")
    return Sizing(
        approach_ms=approach,
        slot_ms=np.divide(
            approach, open_share, out=np.full(len(options), np.inf), where=open_share > 0
        ),
        area_m2=capacity / approach,
        units=units_needed(capacity, approach, options.number("unit_area_m2")),
        brings_power=brings_power,
        obstacles={
            "kind": ~kind_fits,
            "opening": everywhere & (options.number("opening_mm") > most_mm),
            "depth": depth[:, None] < options.number("min_depth_m"),
            "power": brings_power & (not can_bring),
            "life": everywhere & (options.number("life_years") < criteria.least_life_years),
            "fitted": offtakes.text("fitted")[:, None] == options.text("option_id")[None, :],
        },
        depth_unknown=np.isnan(depth),
    )
