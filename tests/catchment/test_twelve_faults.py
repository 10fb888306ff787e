"""Twelve mistakes in six tables of a folder of files: each is found, and each remedy serves."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import shapely

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Shape
from slackwater.catchment.understand import Understood, understand
from slackwater.files.read import read_catchment
from tests.catchment.small import Small, small

Found = tuple[str, int | None, str, str]
Mend = Callable[[Small], object]


def write(of: Small, folder: Path) -> None:
    """Write a folder: tables with a place as GeoJSON, the others as CSV, settings as TOML."""
    for name, table in of.tables.items():
        rows = [
            dict(zip(table.cells, row, strict=True))
            for row in zip(*table.cells.values(), strict=True)
        ]
        if TABLES[name].shape is Shape.NONE:
            with (folder / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
                writer = csv.DictWriter(file, list(table.cells))
                writer.writeheader()
                writer.writerows(rows)
            continue
        assert table.geometry is not None
        features = [
            {"type": "Feature", "properties": row, "geometry": _mapping(place)}
            for row, place in zip(rows, table.geometry, strict=True)
        ]
        collection = {"type": "FeatureCollection", "features": features}
        (folder / f"{name}.geojson").write_text(json.dumps(collection), encoding="utf-8")
    lines = [
        f"{key} = {json.dumps(value)}"
        for key, value in of.settings.items()
        if not isinstance(value, dict)
    ]
    (folder / "catchment.toml").write_text("\n".join(lines), encoding="utf-8")


def _mapping(place: Any) -> Any:
    return None if place is None else shapely.geometry.mapping(place)


def _set(table: str, position: int, column: str, value: Any) -> Mend:
    return lambda of: of.set(table, position, column, value)


def _append(table: str, position: int) -> Mend:
    return lambda of: of.append(table, position)


def _keep(table: str, count: int) -> Mend:
    return lambda of: of.delete(table, range(count, len(of.tables[table].rows)))


MISTAKES: list[tuple[Mend, Found, Mend]] = [
    # GeoJSON counts features from 1, CSV lines with the header as 1
    (
        _set("reaches", 0, "slope", "0"),
        ("reaches", 1, "slope", "not_above_zero"),
        _set("reaches", 0, "slope", "0.001"),
    ),
    (
        _set("reaches", 1, "to_reach", "middle"),
        ("reaches", 2, "to_reach", "dangling_key"),
        _set("reaches", 1, "to_reach", "mid"),
    ),
    (
        _set("splits", 1, "share", "0.2"),
        ("splits", 2, "share", "share_sum"),
        _set("splits", 1, "share", "0.3"),
    ),
    (
        _set("daily", 9, "date", "10/01/2019"),
        ("daily", 11, "date", "bad_date"),
        _set("daily", 9, "date", "2019-01-10"),
    ),
    (
        _set("daily", 20, "date", "2019-01-20"),
        ("daily", 22, "date", "date_twice"),
        _set("daily", 20, "date", "2019-01-21"),
    ),
    (
        _set("guilds", 1, "window_full", "03-30"),
        ("guilds", 3, "window_full", "corners_out_of_order"),
        _set("guilds", 1, "window_full", "04-10"),
    ),
    (
        _set("guilds", 0, "mortality_per_day", ""),
        ("guilds", 2, "mortality_per_day", "empty_cell"),
        _set("guilds", 0, "mortality_per_day", "0"),
    ),
    (
        _set("offtakes", 0, "capacity_m3s", "1,200"),
        ("offtakes", 1, "capacity_m3s", "not_a_number"),
        _set("offtakes", 0, "capacity_m3s", "0.2"),
    ),
    (
        _set("offtakes", 1, "geometry", None),
        ("offtakes", 2, "geometry", "geometry_empty"),
        _set("offtakes", 1, "geometry", small().tables["offtakes"].geometry[1]),
    ),  # type: ignore[index]
    (
        _set("offtakes", 2, "kind", "siphon"),
        ("offtakes", 3, "kind", "unknown_word"),
        _set("offtakes", 2, "kind", "gravity_channel"),
    ),
    (
        _set("efficacy", 0, "low", "0.65"),
        ("efficacy", 2, "low", "low_above_value"),
        _set("efficacy", 0, "low", "0.6"),
    ),
    (_append("efficacy", 3), ("efficacy", 6, "option_id", "duplicate_key"), _keep("efficacy", 4)),
]


def found_in(understood: Understood) -> set[Found]:
    """Give where each fault stands."""
    return {(each.table, each.row, each.column, each.code) for each in understood.faults}


def read(of: Small, folder: Path) -> Understood:
    """Write, read and understand."""
    folder.mkdir()
    write(of, folder)
    return understand(read_catchment(folder))


def test_files_without_mistake(tmp_path: Path) -> None:
    """The small catchment reads from files as it stands in memory."""
    understood = read(small(), tmp_path / "small")
    assert understood.faults == ()
    assert understood.catchment is not None


def test_twelve_faults(tmp_path: Path) -> None:
    """Twelve mistakes give exactly twelve faults, each at its row and column."""
    of = small()
    for plant, _, _ in MISTAKES:
        plant(of)
    understood = read(of, tmp_path / "small")
    assert len(understood.faults) == len(MISTAKES) == 12
    assert found_in(understood) == {where for _, where, _ in MISTAKES}
    assert len({table for table, *_ in found_in(understood)}) == 6


@pytest.mark.parametrize("mended", range(len(MISTAKES)))
def test_each_remedy_serves(mended: int, tmp_path: Path) -> None:
    """What a remedy asks for clears its fault and no other."""
    of = small()
    for plant, _, _ in MISTAKES:
        plant(of)
    MISTAKES[mended][2](of)
    left = {where for number, (_, where, _) in enumerate(MISTAKES) if number != mended}
    assert found_in(read(of, tmp_path / "small")) == left


def test_all_remedies_serve(tmp_path: Path) -> None:
    """With every remedy taken the catchment loads, as if nothing had been wrong."""
    of = small()
    for plant, _, _ in MISTAKES:
        plant(of)
    for _, _, mend in MISTAKES:
        mend(of)
    plain, mended = read(small(), tmp_path / "plain"), read(of, tmp_path / "mended")
    assert mended.faults == ()
    assert mended.catchment is not None
    assert plain.catchment is not None
    assert mended.catchment.table("offtakes").keys == plain.catchment.table("offtakes").keys
