"""Names and the order of rows are no part of a river."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.desk.evaluation import evaluate
from tests.random_rivers import random_rows
from tests.river_builder import river_of

SEEDS = st.integers(0, 10_000)
REFERENCES = {
    "reaches": ("reach_id", "to_reach"),
    "splits": ("from_reach", "to_reach"),
    "weirs": ("reach_id",),
    "production": ("reach_id", "guild_id"),
    "offtakes": ("offtake_id", "reach_id"),
    "guilds": ("guild_id",),
    "efficacy": ("guild_id",),
}


def relabelled(rows: dict[str, Any], seed: int) -> tuple[dict[str, Any], dict[str, str]]:
    """Shuffle the rows of every table and give every reach, offtake and guild another name."""
    rng = np.random.default_rng([seed, 4])
    names = [
        row[key]
        for table, key in (
            ("reaches", "reach_id"),
            ("offtakes", "offtake_id"),
            ("guilds", "guild_id"),
        )
        for row in rows[table]
    ]
    numbers = rng.permutation(len(names))
    new = {old: f"n{number:03d}" for old, number in zip(names, numbers, strict=True)}
    other = dict(rows)
    for table, columns in REFERENCES.items():
        renamed = [
            {k: new.get(v, v) if k in columns else v for k, v in row.items()} for row in rows[table]
        ]
        other[table] = [renamed[i] for i in rng.permutation(len(renamed))]
    return other, new


@given(SEEDS)
def test_relabelling_and_reordering_change_nothing(seed: int) -> None:
    """Each offtake takes, loses, overlaps and gains the same under any name and in any row."""
    rows = random_rows(seed)
    other_rows, new = relabelled(rows, seed)
    one, other = evaluate(river_of(**rows)), evaluate(river_of(**other_rows))
    sites, guilds = one.catchment.table("offtakes").keys, one.catchment.table("guilds").keys
    at_site = [other.catchment.table("offtakes").index[new[site]] for site in sites]
    at_guild = [other.catchment.table("guilds").index[new[guild]] for guild in guilds]
    for name in ("taken", "loss"):
        ours, theirs = getattr(one, name), getattr(other, name)[np.ix_(at_guild, at_site)]
        assert theirs == pytest.approx(ours, rel=1e-11), name
    assert other.gain[np.ix_(at_guild, at_site)] == pytest.approx(one.gain, rel=1e-11)
    assert other.overlap[at_site] == pytest.approx(one.overlap, rel=1e-11)
    assert other.loss_adults[at_site] == pytest.approx(one.loss_adults, rel=1e-11)
    assert other.balance[at_guild] == pytest.approx(one.balance, rel=1e-11)


@given(SEEDS)
def test_reordering_alone_keeps_the_ranks(seed: int) -> None:
    """Rows in another order give every offtake the same rank, score and best option."""
    rows = random_rows(seed)
    rng = np.random.default_rng([seed, 5])
    shuffled = {
        name: [table[i] for i in rng.permutation(len(table))] if isinstance(table, list) else table
        for name, table in rows.items()
    }
    one, other = evaluate(river_of(**rows)), evaluate(river_of(**shuffled))
    assert other.catchment.data_version == one.catchment.data_version
    at = [other.catchment.table("offtakes").index[k] for k in one.catchment.table("offtakes").keys]
    assert other.ranking.rank[at].tolist() == one.ranking.rank.tolist()
    assert other.ranking.score[at].tolist() == one.ranking.score.tolist()
    assert other.best_option[at].tolist() == one.best_option.tolist()
