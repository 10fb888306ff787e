"""Many write and read at once, from threads and from other programs: none is lost, none half."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from pathlib import Path
from threading import Event

import pytest

from slackwater.errors import EditConflict
from slackwater.store import Change, Register, open_register
from tests.store.said import capacity, cell, check, edit

ROOT = Path(__file__).parents[2]
WRITERS, EDITS_EACH = 4, 6

OTHER_PROGRAM = """
import sys
from slackwater.errors import EditConflict
from slackwater.store import open_register
from tests.store.said import capacity, cell, check, edit

register = open_register(sys.argv[1])
done = 0
while done < int(sys.argv[2]):
    now = cell(register, "offtakes", "0012", "capacity_m3s")
    try:
        register.apply(edit(capacity(now, now + 0.001)), check)
        done += 1
    except EditConflict:
        pass
"""


def raise_often(url: str, times: int) -> None:
    """Raise one capacity step by step; where another was first, look again."""
    register = open_register(url)
    for _ in range(times):
        while True:
            now = cell(register, "offtakes", "0012", "capacity_m3s")
            try:
                register.apply(edit(capacity(now, now + 0.001)), check)
                break
            except EditConflict:
                continue
    register.close()


def test_writers_of_one_cell_lose_nothing(url: str) -> None:
    """Threads with a register each raise one number: every raise counts, in one line of history."""
    with ThreadPoolExecutor(WRITERS) as pool:
        list(pool.map(lambda _: raise_often(url, EDITS_EACH), range(WRITERS)))
    require_all_raises(url, WRITERS * EDITS_EACH)


def test_other_programs_take_turns_too(url: str) -> None:
    """Programs of their own raise one number: every raise counts."""
    words = [sys.executable, "-c", OTHER_PROGRAM, url, str(EDITS_EACH)]
    running = [
        subprocess.Popen(words, env={"PYTHONPATH": f"{ROOT / 'server'}:{ROOT}", "PATH": ""})
        for _ in range(2)
    ]
    assert [each.wait(120) for each in running] == [0, 0]
    require_all_raises(url, 2 * EDITS_EACH)


def require_all_raises(url: str, count: int) -> None:
    """Hold the number, the revision and the history to so many raises, each on the one before."""
    register = open_register(url)
    assert cell(register, "offtakes", "0012", "capacity_m3s") == pytest.approx(0.3 + count / 1000)
    assert register.standing().revision == count + 1
    past = register.history(limit=count)
    assert [each.seq for each in past] == list(range(count + 1, 1, -1))
    steps = [each.changes[0] for each in past]
    assert all(later.old == earlier.new for later, earlier in pairwise(steps))
    assert check(register.raw()) == register.standing().data_version
    register.close()


def test_threads_share_a_register(register: Register) -> None:
    """One register serves many threads: edits of different cells all stand at the end."""
    columns = ("wear_cost_year", "pump_head_m", "flush_litres", "flush_minutes")

    def work(column: str) -> None:
        old = None
        for number in range(EDITS_EACH):
            register.apply(edit(Change("offtakes", "0012", column, old, number)), check)
            old = number

    with ThreadPoolExecutor(len(columns)) as pool:
        list(pool.map(work, columns))
    assert register.standing().revision == 1 + len(columns) * EDITS_EACH
    assert {cell(register, "offtakes", "0012", each) for each in columns} == {EDITS_EACH - 1.0}


def test_a_reader_sees_one_moment(url: str) -> None:
    """While two cells are always changed together, no reader ever sees them differ."""
    writer, ended = open_register(url), Event()
    seen: list[tuple[float, float]] = []

    def look() -> None:
        while not ended.is_set():
            reader = open_register(url)  # a new one holds nothing, so it reads every time
            standing, raw = reader.present()
            codes = raw.tables["offtakes"].cells["wear_cost_year"]
            seen.append((codes[0] or 0.0, codes[1] or 0.0))
            assert check(raw) == standing.data_version
            reader.close()

    with ThreadPoolExecutor(2) as pool:
        looking = [pool.submit(look) for _ in range(2)]
        for number in range(12):
            changes = (
                Change("offtakes", code, "wear_cost_year", number or None, number + 1.0)
                for code in ("0012", "0013")
            )
            writer.apply(edit(*changes), check)
        ended.set()
    for each in looking:
        each.result()
    writer.close()
    assert len(seen) > 1
    assert all(one == other for one, other in seen)
