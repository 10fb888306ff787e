"""How much of the loss would the chosen set avoid if one input lay at an end of its range?

One input at a time, guild by guild; inputs of sites at all sites at once. Guilds do not meet in the
river, so one answer with an input changed for all guilds serves each of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.set_benefit import benefit_in, loss_in, mean_of_years, share_of
from slackwater.desk.trial_draws import BY_GUILD, BY_SITE, InputRange, with_values
from slackwater.progress import Progress

Numbers = NDArray[np.float64]
BothEnds = list[tuple[Numbers, Numbers]]


@dataclass(frozen=True)
class Sensitivity:
    """Share of the loss that the set avoids with one input at its low and at its high end.

    Attributes
    ----------
    input : name of the range; for an efficacy ``efficacy`` and the option's id.
    guild_id : None where it holds for every guild.
    """

    input: str
    guild_id: str | None
    low_share: float
    high_share: float


def sensitivity_of(
    evaluation: Evaluation,
    ranges: Mapping[str, InputRange],
    picks: Mapping[int, int],
    progress: Progress,
) -> tuple[Sensitivity, ...]:
    """Move one input at a time, widest difference first.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    guilds = evaluation.catchment.table("guilds").keys
    now = _adults(evaluation, picks, progress)
    found = []
    for name in (*BY_GUILD, *BY_SITE):
        each = ranges[name]
        ends = [
            _adults(with_values(evaluation, {name: end}), picks, progress)
            for end in (each.low, each.high)
        ]
        found += _by_guild(name, guilds, now, ends) if name in BY_GUILD else [_of_all(name, ends)]
    for option in _options_at_work(evaluation, picks):
        option_id = evaluation.catchment.table("options").keys[option]
        each = ranges["efficacy"]
        own = evaluation.catchment.table("efficacy").text("option_id") == option_id
        ends = [
            _adults(
                with_values(evaluation, {"efficacy": np.where(own, end, each.value)}),
                picks,
                progress,
            )
            for end in (each.low, each.high)
        ]
        found += _by_guild(f"efficacy {option_id}", guilds, now, ends)
    return tuple(sorted(found, key=lambda s: -abs(s.high_share - s.low_share)))


def _adults(
    evaluation: Evaluation, picks: Mapping[int, int], progress: Progress
) -> tuple[Numbers, Numbers]:
    """(guilds,) mean benefit of the set and mean loss."""
    benefit, loss = benefit_in(evaluation, picks, progress), loss_in(evaluation, progress)
    return mean_of_years(evaluation, benefit), mean_of_years(evaluation, loss)


def _by_guild(
    name: str, guilds: tuple[str, ...], now: tuple[Numbers, Numbers], ends: BothEnds
) -> list[Sensitivity]:
    """Give a line a guild: that guild as at the end, all others as now."""
    lines = []
    for g, guild_id in enumerate(guilds):
        benefits, losses = (
            [float(now[i].sum() - now[i][g] + end[i][g]) for end in ends] for i in (0, 1)
        )
        low, high = (share_of(b, loss) for b, loss in zip(benefits, losses, strict=True))
        lines.append(Sensitivity(name, guild_id, low, high))
    return lines


def _of_all(name: str, ends: BothEnds) -> Sensitivity:
    low, high = (share_of(float(benefit.sum()), float(loss.sum())) for benefit, loss in ends)
    return Sensitivity(name, None, low, high)


def _options_at_work(evaluation: Evaluation, picks: Mapping[int, int]) -> list[int]:
    """Options that the set or today's screens use: no other's efficacy counts."""
    none = len(evaluation.efficacy.drifter) - 1
    fitted = set(evaluation.efficacy.fitted.tolist()) - {none}
    return sorted(fitted | set(picks.values()))
