"""Open a catchment from disk, or say everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import numpy as np

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.raw import RawCatchment
from slackwater.catchment.understand import understand
from slackwater.errors import Finding, InputFaults
from slackwater.files.read import read_catchment
from slackwater.river.taking import draw_of_year
from slackwater.river.travel import pace_of


@dataclass(frozen=True)
class Opened:
    """A catchment that can be computed with, what is odd about it, and its relief picture.

    Attributes
    ----------
    noticed : what was odd as its tables were understood.
    """

    catchment: Catchment
    noticed: tuple[Finding, ...]
    relief_path: str = ""
    relief: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def warnings(self) -> tuple[Finding, ...]:
        """Everything odd. Draws above flow take a sweep over all days, so they wait until asked."""
        return self.noticed + draws_above_flow(self.catchment)


def open_catchment(path: Path) -> Opened:
    """Read and check a folder, GeoPackage or workbook.

    Raises
    ------
    InputFaults
        With every fault at once; nothing is taken in.
    UsageError
        Where the path is no catchment at all.
    """
    return opened(read_catchment(path))


def opened(raw: RawCatchment) -> Opened:
    """Check a catchment as it was read.

    Raises
    ------
    InputFaults
        With every fault at once.
    """
    understood = understand(raw)
    if understood.catchment is None:
        raise InputFaults(understood.faults, understood.warnings)
    return Opened(understood.catchment, understood.warnings, raw.relief_path, raw.relief)


def check_catchment(path: Path) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Give every fault and every warning; no faults means it can be computed with."""
    try:
        return (), open_catchment(path).warnings
    except InputFaults as refused:
        return refused.faults, refused.warnings


def draws_above_flow(catchment: Catchment) -> tuple[Finding, ...]:
    """Warn of reaches whose draws together exceed their flow, with the days counted."""
    gauge = pace_of(catchment).gauge
    days = np.sum(
        [
            draw_of_year(catchment, gauge, year).overdrawn_days
            for year in range(len(catchment.records.years))
        ],
        axis=0,
    )
    reaches = catchment.table("reaches")
    return tuple(
        Finding(
            table="reaches",
            row=int(reaches.rows[reach]),
            key=reaches.keys[reach],
            column="",
            value=f"{int(days[reach])} days",
            code="draws_above_flow",
            remedy="the draws on this reach together exceed its flow on these days of the seasons "
            "used; check capacities, months of use and cease_flow_m3s",
        )
        for reach in np.flatnonzero(days)
    )


def few_of_each(warnings: Sequence[Finding], shown: int = 5) -> list[str]:
    """Give warnings as lines, the first few of each kind, so that none drowns the others."""
    kinds: dict[str, list[Finding]] = {}
    for warning in warnings:
        kinds.setdefault(warning.code, []).append(warning)
    lines = []
    for code, alike in kinds.items():
        lines += [str(warning) for warning in alike[:shown]]
        if len(alike) > shown:
            more = f"and {len(alike) - shown} more of these"
            lines.append(f"{more}; slackwater check --json lists all [{code}]")
    return lines
