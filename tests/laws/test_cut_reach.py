"""A reach cut in two is the same river, but for the whole days its lag is rounded to."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from slackwater.river.river import Measured, River, prepare
from tests.random_rivers import random_rows
from tests.river_builder import river_of

SEEDS = st.integers(0, 10_000)
PLACES = st.floats(0.02, 0.98)


def cut(rows: dict[str, Any], reach_id: str, share: float) -> dict[str, Any]:
    """Cut a reach at a share of its length; the new upper piece is ``reach_id`` with ``-up``.

    Nothing may start in it: drifters start at mid-length, which a cut would move. What flowed
    into the reach flows into the upper piece; weirs and arms below stay with the lower one.
    """
    upper = f"{reach_id}-up"
    whole = next(row for row in rows["reaches"] if row["reach_id"] == reach_id)
    at_m = share * whole["length_m"]

    def sent_to(target: str) -> str:
        return upper if target == reach_id else target

    pieces = [
        {**whole, "reach_id": upper, "to_reach": reach_id, "length_m": at_m},
        {**whole, "length_m": whole["length_m"] - at_m},
    ]
    offtakes = []
    for row in rows["offtakes"]:
        if row["reach_id"] != reach_id:
            offtakes.append(row)
        elif row["chainage_m"] < at_m:
            offtakes.append({**row, "reach_id": upper})
        else:
            offtakes.append({**row, "chainage_m": row["chainage_m"] - at_m})
    return {
        **rows,
        "reaches": [
            {**row, "to_reach": sent_to(row["to_reach"])}
            for row in rows["reaches"] if row["reach_id"] != reach_id
        ] + pieces,
        "splits": [{**row, "to_reach": sent_to(row["to_reach"])} for row in rows["splits"]],
        "offtakes": offtakes,
    }  # fmt: skip


def barren_reach(rows: dict[str, Any]) -> dict[str, Any]:
    """Let nothing start in the reach with the first offtake, unless nothing would start at all."""
    reach_id = rows["offtakes"][0]["reach_id"]
    kept = [row for row in rows["production"] if row["reach_id"] != reach_id]
    assume({row["guild_id"] for row in kept} == {row["guild_id"] for row in rows["production"]})
    return {**rows, "production": kept}


def measured_with_screens(river: River) -> Measured:
    """Measure with half of everything kept out, so that screens take part."""
    guilds, _, offtakes = river.shape
    return river.measure(np.full((guilds, offtakes), 0.5))


def assert_same(one: Measured, other: Measured) -> None:
    """Everything that is measured agrees to rounding."""
    for name in ("taken", "exposed", "meeting", "balance", "worth"):
        theirs, ours = getattr(other, name), getattr(one, name)
        scale = max(1.0, float(np.abs(ours).max()))
        assert theirs == pytest.approx(ours, rel=1e-9, abs=1e-12 * scale), name


@given(SEEDS, PLACES)
def test_with_constant_flow_a_cut_changes_nothing(seed: int, share: float) -> None:
    """Where every day is alike, lags do not matter and a cut reach gives the same numbers."""
    rows = barren_reach(random_rows(seed, constant=True))
    pieces = cut(rows, rows["offtakes"][0]["reach_id"], share)
    assert_same(*(measured_with_screens(prepare(river_of(**each))) for each in (rows, pieces)))


@given(SEEDS, PLACES)
def test_where_the_rounded_lags_agree_a_cut_changes_nothing(seed: int, share: float) -> None:
    """On a river that varies, only the rounding of lags can tell a cut reach from a whole one."""
    rows = barren_reach(random_rows(seed))
    reach_id = rows["offtakes"][0]["reach_id"]
    for row in rows["reaches"]:
        if row["reach_id"] == reach_id:
            row["length_m"] /= 10  # short, so that lags often agree
            shrunk = row["length_m"]
    for row in rows["offtakes"]:
        if row["reach_id"] == reach_id:
            row["chainage_m"] = min(row["chainage_m"] / 10, shrunk)
    whole, pieces = (prepare(river_of(**r)) for r in (rows, cut(rows, reach_id, share)))
    at_whole, at_pieces = (r.catchment.table("reaches").index for r in (whole, pieces))
    for one, other in zip(whole.seasons, pieces.seasons, strict=True):
        lags = {other.lag_days[at_pieces[name]] for name in (reach_id, f"{reach_id}-up")}
        assume(lags == {one.lag_days[at_whole[reach_id]]})
        for name, position in at_whole.items():  # no other lag may notice the cut
            assert other.lag_days[at_pieces[name]] == one.lag_days[position]
    assert_same(measured_with_screens(whole), measured_with_screens(pieces))
