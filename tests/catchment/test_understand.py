"""A catchment without fault: what was read, what followed from it, and how fast."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from time import process_time

import numpy as np
import pytest

from slackwater.catchment.cells import parse_cells
from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Kind
from slackwater.catchment.findings import LISTED_AT_MOST
from slackwater.catchment.understand import understand
from slackwater.files.read import read_catchment
from tests.catchment.small import small

WORKED = Path(__file__).parents[3] / "shared" / "worked" / "catchment"
SLOWEST_S = 15.0
"""Processor time for a million daily rows; a machine at rest takes about a fifth of it."""


@pytest.mark.skipif(not WORKED.exists(), reason="the worked catchment is not here")
def test_worked_catchment() -> None:
    """The worked catchment loads without fault and its offtakes snap where its README says."""
    catchment = understand(read_catchment(WORKED)).catchment
    assert catchment is not None
    at = catchment.table("offtakes").index
    assert catchment.chainage_m[at["LAMP-01"]] == pytest.approx(17794.430, abs=5e-4)
    assert catchment.chainage_m[at["LAMP-05"]] == pytest.approx(31091.237, abs=5e-4)
    assert catchment.records.years.tolist() == [2018, 2019, 2020]
    assert catchment.use_assumed.tolist() == [False, False, False, False, True]


def test_columns_as_described() -> None:
    """Every table has every column of the contract in its type, defaults filled."""
    catchment = small().understood().catchment
    assert catchment is not None
    for name, spec in TABLES.items():
        table = catchment.table(name)
        for field in spec.fields:
            column = table.columns[field.name]
            assert len(column) == len(table)
            kind = "f" if field.is_number else "M" if field.kind is Kind.DATE else "O"
            assert column.dtype.kind == kind, (name, field.name)
            if field.default is not None and field.is_number:
                assert not np.isnan(table.number(field.name)).any()
            if field.default is not None and not field.is_number:
                assert all(table.text(field.name))


def test_leading_zeros_and_blanks() -> None:
    """Ids keep leading zeros and lose blanks about them; other text stays as it was typed."""
    of = small()
    of.set("offtakes", 0, "licence", " 007 ")
    of.set("offtakes", 1, "licence", 12.0)
    of.set("offtakes", 0, "label", " Pump ")
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.table("offtakes").text("licence")[:2].tolist() == ["007", "12"]
    assert catchment.table("offtakes").text("label")[0] == " Pump "


def test_nearest_reach() -> None:
    """An offtake without a reach stands on the nearest one."""
    catchment = small().understood().catchment
    assert catchment is not None
    assert catchment.reach_index.tolist() == [0, 2, 3]


def test_weirs_multiply() -> None:
    """Weirs on one reach multiply, one without a guild acting on all."""
    catchment = small().understood().catchment
    assert catchment is not None
    assert catchment.network.weir_survival[:, 2] == pytest.approx([0.72, 0.8])
    assert (catchment.network.weir_survival[:, [0, 1, 3, 4]] == 1).all()


def test_many_bad_cells_are_counted() -> None:
    """A column wrong throughout lists its first thousand cells and counts the rest."""
    of = small()
    n_rows = LISTED_AT_MOST + 5
    of.tables["metered"].rows = list(range(2, n_rows + 2))
    of.tables["metered"].cells = {
        "offtake_id": ["A"] * n_rows,
        "date": [(date(2019, 1, 1) + timedelta(days=i)).isoformat() for i in range(n_rows)],
        "draw_m3s": ["low"] * n_rows,
    }
    faults = of.understood().faults
    assert len(faults) == LISTED_AT_MOST + 1
    assert faults[0].row is None
    assert faults[0].remedy.startswith("5 more rows")


def test_million_days() -> None:
    """A million daily rows are understood, and their version taken, in seconds."""
    of = small()
    gauges, days = 40, 25_000
    first = date(1950, 1, 1)
    dates = [(first + timedelta(days=i)).isoformat() for i in range(days)]
    daily = of.tables["daily"]
    daily.rows = list(range(2, 2 + gauges * days))
    daily.cells = {
        "gauge_id": [f"G{g}" for g in range(1, gauges + 1) for _ in range(days)],
        "date": dates * gauges,
        "flow_m3s": [f"{5 + i % 97 / 7:.3f}" for i in range(gauges * days)],
        "water_temp_c": [f"{10 + i % 83 / 9:.1f}" for i in range(gauges * days)],
    }
    for gauge in range(3, gauges + 1):
        of.append("gauges", 0, gauge_id=f"G{gauge}")
    started = process_time()
    catchment = of.understood().catchment
    assert process_time() - started < SLOWEST_S
    assert catchment is not None
    assert len(catchment.records.years) == 68


@pytest.mark.parametrize(
    ("cell", "number"),
    [
        ("1", 1.0),
        (" 1.5 ", 1.5),
        ("+2", 2.0),
        ("1e3", 1000.0),
        (".5", 0.5),
        ("5.", 5.0),
        (7, 7.0),
        (0.25, 0.25),
        ("-0", 0.0),
        ("1E-2", 0.01),
    ],
)
def test_numbers_taken(cell: str | float, number: float) -> None:
    """Sign, digits, point and exponent make a number, alone or beside one that is none."""
    field = TABLES["guilds"].by_name["temp_min"]
    assert parse_cells(field, [cell]).values.tolist() == [number]
    parsed = parse_cells(field, [cell, "x"])
    assert parsed.values.tolist()[0] == number
    assert list(parsed.troubles) == [1]


def test_defaults_are_remembered_as_such() -> None:
    """A cell that was empty and got its default is told from one filled with that value."""
    changed = small()
    for position, value in enumerate(("1", "", None)):
        changed.set("offtakes", position, "position", value)
    understood = changed.understood().catchment
    assert understood is not None
    table = understood.table("offtakes")
    assert table.number("position").tolist() == [1.0, 1.0, 1.0]
    assert table.defaulted["position"].tolist() == [False, True, True]
