"""Does every part of the model matter on the demo? Each is neutralised in turn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.table import empty_table
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.opening import open_catchment
from slackwater.river import seasons

DEMO = Path(__file__).parents[2] / "demo_data" / "lantern.gpkg"
TOP = 20


def with_columns(catchment: Catchment, table: str, **columns: object) -> Catchment:
    """The catchment with whole columns of one table set to one value."""
    old = catchment.table(table)
    new = {name: np.full_like(old.columns[name], value) for name, value in columns.items()}
    changed = replace(old, columns={**old.columns, **new})
    return replace(catchment, tables={**catchment.tables, table: changed})


def without_splits(catchment: Catchment) -> Catchment:
    """Every divided reach sends all to its larger arm."""
    network = catchment.network
    share = np.zeros_like(network.arm_share)
    for first, last in zip(network.first_arm[:-1], network.first_arm[1:], strict=True):
        if last > first:
            share[first + np.argmax(network.arm_share[first:last])] = 1.0
    return replace(catchment, network=replace(network, arm_share=share))


def without_dry_days(catchment: Catchment) -> Catchment:
    """A dry day has the gauge's least flow above 0."""
    flow = catchment.records.flow_m3s.copy()
    for row in flow:
        row[row == 0] = row[row > 0].min()
    return replace(catchment, records=replace(catchment.records, flow_m3s=flow))


def without_weirs(catchment: Catchment) -> Catchment:
    """Everybody passes every weir."""
    survival = np.ones_like(catchment.network.weir_survival)
    return replace(catchment, network=replace(catchment.network, weir_survival=survival))


def without_temperature(catchment: Catchment) -> Catchment:
    """Every day is warm enough."""
    unknown = np.full_like(catchment.records.temperature_c, np.nan)
    return replace(catchment, records=replace(catchment.records, temperature_c=unknown))


def without_metered(catchment: Catchment) -> Catchment:
    """Every draw is by months."""
    return replace(catchment, tables={**catchment.tables, "metered": empty_table("metered")})


def without_nursery(catchment: Catchment) -> Catchment:
    """A settler is worth the same everywhere."""
    return with_columns(with_columns(catchment, "reaches", nursery=1.0), "production", nursery=1.0)


ABLATIONS: dict[str, Callable[[Catchment], Catchment]] = {
    "split": without_splits,
    "dry reach": without_dry_days,
    "weir": without_weirs,
    "trigger": lambda c: with_columns(c, "guilds", flow_trigger=0.0),
    "temperature": without_temperature,
    "lag": lambda c: c,
    "stages": lambda c: with_columns(c, "guilds", drift_stages=1.0),
    "night": lambda c: with_columns(c, "guilds", night_drift_share=np.nan),
    "position": lambda c: with_columns(c, "offtakes", position=1.0),
    "metered draw": without_metered,
    "residents": lambda c: with_columns(c, "guilds", resident_per_ml=0.0),
    "nursery": without_nursery,
}


@pytest.fixture(scope="module")
def demo() -> Catchment:
    return open_catchment(DEMO).catchment


@pytest.fixture(scope="module")
def effects(demo: Catchment) -> dict[str, tuple[float, bool]]:
    """Ablation -> (largest change of an offtake's loss, whether the first twenty change)."""
    today = evaluate(demo)
    found = {}
    for name, neutralise in ABLATIONS.items():
        with pytest.MonkeyPatch.context() as patch:
            if name == "lag":
                patch.setattr(
                    seasons, "lags_days", lambda *_: np.zeros(len(demo.length_m), np.int64)
                )
            found[name] = compare(today, evaluate(neutralise(demo)))
    for name, (change, moved) in found.items():
        print(
            f"{name:13s} loss by up to {change:7.1%}, first twenty {'change' if moved else 'stay'}"
        )
    return found


def compare(today: Evaluation, other: Evaluation) -> tuple[float, bool]:
    """Largest relative change of loss among offtakes that matter, and whether the top moves."""
    counts = today.loss_adults > 1e-4 * today.loss_adults.max()
    change = np.abs(other.loss_adults[counts] / today.loss_adults[counts] - 1).max()
    top = [set(e.ranking.order[:TOP].tolist()) for e in (today, other)]
    return float(change), top[0] != top[1]


@pytest.mark.parametrize("part", ABLATIONS)
def test_every_part_moves_some_offtake(effects: dict[str, tuple[float, bool]], part: str) -> None:
    """Without this part some offtake's loss differs by over 2 %."""
    assert effects[part][0] > 0.02


def test_parts_move_the_first_twenty(effects: dict[str, tuple[float, bool]]) -> None:
    """At least four parts change which offtakes stand in the first twenty."""
    assert sum(moved for _, moved in effects.values()) >= 4
