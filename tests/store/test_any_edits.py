"""Whatever edits come in whatever order: the tables say what memory says, and all can be undone."""

from __future__ import annotations

import random
from collections.abc import Callable
from contextlib import closing
from typing import Any

import pytest

from slackwater.store import Change, Edit, Register, StoredCatchment, open_register
from slackwater.store.differences import differences
from slackwater.store.opened_table import OpenedTable
from slackwater.store.stored import keys_of
from slackwater.store.values import told_value
from tests.store.said import check, edit, fresh_id

EDITS = 25
Maker = Callable[[StoredCatchment, random.Random], Change]

VALUES: dict[str, Callable[[random.Random], Any]] = {
    "capacity_m3s": lambda chance: chance.uniform(0.01, 0.3),
    "wear_cost_year": lambda chance: chance.choice([None, 0.0, chance.random() * 1e6]),
    "label": lambda chance: chance.choice([None, "Ford", "Fürth, the “old” pump", "=1+1", "🐟"]),
    "observed_on": lambda chance: chance.choice([None, "1999-12-31", "2024-02-29"]),
    "fitted": lambda chance: chance.choice([None, "none", "cone"]),
    "heron_nests": lambda chance: float(chance.randint(0, 9)),
    "geometry": lambda chance: [100.04 + chance.random() * 1e-4, -36.02 + chance.random() * 1e-4],
}
ROWS: dict[str, Callable[[random.Random], dict[str, Any]]] = {
    "weirs": lambda chance: {"reach_id": chance.choice(["01", "02"]), "survival": chance.random()},
    "places": lambda chance: {
        "name": chance.choice(["Fen", "Umberton"]),
        "geometry": [100 + chance.random(), -36 - chance.random()],
    },
    "prices": lambda chance: {
        "item": chance.choice(["energy_kwh", "labour_hour", "water_ml"]),
        "amount": chance.random(),
    },
}


def change_a_cell(raw: StoredCatchment, chance: random.Random) -> Change:
    """Put another value into some cell of the first offtake."""
    column = chance.choice(list(VALUES))
    old = told_value(OpenedTable(raw.tables["offtakes"]).cell("0012", column))
    return Change("offtakes", "0012", column, old, VALUES[column](chance))


def change_a_row(raw: StoredCatchment, chance: random.Random) -> Change:
    """Add a row to some table, or take one out of it."""
    table = chance.choice(list(ROWS))
    keys = [key for key in keys_of(raw.tables[table]) if key != "power/"]
    row = ROWS[table](chance)
    held = [key for key in keys if table == "prices" and key == f"{row.get('item')}/"]
    if not held and (not keys or chance.random() < 0.5):
        return Change(table, "", "", None, row)
    key = (held or [chance.choice(keys)])[0]
    cells = OpenedTable(raw.tables[table]).row(key)
    return Change(table, key, "", {name: told_value(cell) for name, cell in cells.items()}, None)


def undoing(done: Edit, register: Register) -> Edit:
    """Give the edit that takes one back."""
    past = register.edit(done.id)
    assert past is not None
    back = [Change(c.table, c.key, c.column, c.new, c.old) for c in reversed(past.changes)]
    return edit(*back, undoes=done.id, kind="undo", id=fresh_id())


@pytest.mark.parametrize("seed", [1, 2])
def test_tables_say_what_memory_says_and_all_is_undone(url: str, seed: int) -> None:
    """What is read anew is what each edit led to; undone, the versions come back in turn."""
    chance = random.Random(seed)
    with closing(open_register(url)) as register:
        versions, done = [register.standing().data_version], []
        for _ in range(EDITS):
            maker: Maker = chance.choice([change_a_cell, change_a_row])
            done.append(edit(maker(register.raw(), chance)))
            versions.append(register.apply(done[-1], check).standing.data_version)
            require_alike(register, url)
        assert len(set(versions)) > EDITS / 2
        for last in reversed(done):
            assert register.standing().data_version == versions.pop()
            register.apply(undoing(last, register), check)
        assert [register.standing().data_version] == versions
        require_alike(register, url)


def require_alike(register: Register, url: str) -> None:
    """Hold what a new reader finds in the tables to what this register holds in memory."""
    with closing(open_register(url)) as reader:
        assert differences(reader.raw(), register.raw()) == {}
        assert reader.raw().tables["weirs"].rows == register.raw().tables["weirs"].rows
        assert check(reader.raw()) == register.standing().data_version
