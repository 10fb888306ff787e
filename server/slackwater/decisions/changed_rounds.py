"""The same round, but for one site: kept in or left out, dearer or cheaper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from slackwater.decisions.rules import Round

ASKED = "asked"
"""The reason with which a site is kept in or left out while it is asked about."""


def held(round_: Round, site: int, *, inside: bool) -> Round:
    """Give the round with a site kept in or left out by hand."""
    conditions, own = round_.conditions, {round_.sites[site].offtake_id: ASKED}
    if inside:
        held_so = replace(conditions, kept_in={**conditions.kept_in, **own})
    else:
        held_so = replace(conditions, left_out={**conditions.left_out, **own})
    return replace(round_, conditions=held_so)


def with_cost(round_: Round, site: int, times: float) -> Round:
    """Give the round with every option at a site dearer or cheaper."""
    sites = list(round_.sites)
    cost: Mapping[int, float] = sites[site].cost
    sites[site] = replace(sites[site], cost={o: times * money for o, money in cost.items()})
    return replace(round_, sites=sites)
