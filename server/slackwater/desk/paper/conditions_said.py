"""Under which conditions was a set asked for? In sentences; by score they play no part."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackwater.reports.figures import listed, percent


def rules_said(trial: Mapping[str, Any]) -> tuple[str, ...]:
    """Say most installs, districts' shares and pumps that go together."""
    if trial["way"] != "best":
        return ()
    most = trial["most_installs"]
    shares = (("at least", "district_least"), ("at most", "district_most"))
    return (
        *(() if most is None else (f"At most {most:,} installs.",)),
        *(
            f"{name}: {edge} {percent(share)} of the budget."
            for edge, of in shares
            for name, share in trial[of].items()
        ),
        *(f"{listed(group)}: all or none." for group in trial["together"]),
    )


def hand_choices_said(trial: Mapping[str, Any]) -> tuple[str, ...]:
    """Say each choice by hand with its reason."""
    if trial["way"] != "best":
        return ()
    return (
        *(f"{code} kept in by hand: {why}." for code, why in trial["kept_in"].items()),
        *(f"{code} left out by hand: {why}." for code, why in trial["left_out"].items()),
    )
