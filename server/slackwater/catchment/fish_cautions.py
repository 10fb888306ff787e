"""What is odd about efficacies, and where do offtakes see no fish?"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.draft import Draft
from slackwater.errors import Finding

HIGH_EFFICACY = 0.5
ROUNDING = 1e-9


def warn_of_missing_pairs(drafts: Mapping[str, Draft]) -> None:
    """Warn of each option and guild without an efficacy, which counts 0."""
    efficacy = drafts["efficacy"]
    known = set(zip(efficacy.text("option_id"), efficacy.text("guild_id"), strict=True))
    for option in drafts["options"].text("option_id"):
        for guild in drafts["guilds"].text("guild_id"):
            if (option, guild) not in known:
                efficacy.findings.warn(
                    Finding(
                        "efficacy",
                        None,
                        f"{option}/{guild}",
                        "drifter",
                        "",
                        "missing_efficacy",
                        "no row for this pair: it counts 0",
                    )
                )


def warn_of_approaches(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn where a screen would be sized for faster water than its efficacy was tested at."""
    efficacy, options = drafts["efficacy"], drafts["options"]
    used_ms = _approach_used_ms(catchment, options)[efficacy.links["option_id"]]
    tested_ms = efficacy.number("at_approach_ms")
    for row in np.flatnonzero(used_ms > tested_ms * (1 + ROUNDING)):
        efficacy.warn(
            int(row),
            "at_approach_ms",
            "approach_above_tested",
            f"the screen is sized for {used_ms[row]:g} m/s, faster than tested",
        )


def _approach_used_ms(catchment: Catchment, options: Draft) -> NDArray[np.float64]:
    """(options,) the option's approach velocity, or the criteria set's where that is less."""
    limits = catchment.settings.screen_criteria
    active_ms, passive_ms = (
        np.inf if limit is None else limit
        for limit in (limits.approach_velocity_ms, limits.approach_velocity_passive_ms)
    )
    passive = options.text("cleaning") == "none"
    limit_ms = np.where(passive, passive_ms, active_ms)
    return np.minimum(options.number("approach_velocity_ms"), limit_ms)


def warn_of_unsourced_efficacy(drafts: Mapping[str, Draft]) -> None:
    """Warn where more than half are said to be kept of what fits the openings, without a source."""
    efficacy, options, guilds = drafts["efficacy"], drafts["options"], drafts["guilds"]
    opening_mm = options.number("opening_mm")[efficacy.links["option_id"]]
    egg_mm, larva_mm = (
        guilds.number(name)[efficacy.links["guild_id"]] for name in ("egg_mm", "larva_mm")
    )
    fits = (egg_mm < opening_mm) | (larva_mm < opening_mm)
    high = efficacy.number("drifter") > HIGH_EFFICACY
    for row in np.flatnonzero(fits & high & (efficacy.text("source") == "")):
        efficacy.warn(
            int(row),
            "drifter",
            "unsourced_efficacy",
            f"eggs or larvae are smaller than the opening, {opening_mm[row]:g} mm: "
            "say in source where this comes from",
        )


def warn_of_distant_offtakes(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Warn of offtakes on reaches that no drifter comes to from a reach with production."""
    production, network = drafts["production"], catchment.network
    comes = np.zeros(len(drafts["reaches"]), bool)
    comes[production.links["reach_id"][production.number("production") > 0]] = True
    for reach in network.order:
        if comes[reach]:
            below = slice(network.first_arm[reach], network.first_arm[reach + 1])
            comes[network.arm_reach[below][network.arm_share[below] > 0]] = True
    for offtake in np.flatnonzero(~comes[catchment.reach_index]):
        drafts["offtakes"].warn(
            int(offtake),
            "reach_id",
            "far_from_production",
            "no reach at or above it has production: it takes no drifters",
        )
