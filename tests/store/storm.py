"""Many people edit at once over HTTP, and remember what they were told; then it is held to that."""

from __future__ import annotations

import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

import httpx

from slackwater.store import Register
from tests.store.raging import Raging
from tests.store.said import check

Owned = tuple[str, str, tuple[str, str]]
OWNED: tuple[Owned, ...] = (
    ("offtakes", "0012", ("wear_cost_year", "flush_litres")),
    ("offtakes", "0012", ("pump_head_m", "flush_minutes")),
    ("offtakes", "0013", ("wear_cost_year", "flush_litres")),
    ("offtakes", "0013", ("pump_head_m", "flush_minutes")),
    ("offtakes", "0013", ("pump_head_m", "flush_minutes")),  # two fight for these
)
"""Row and the two cells that one person always sets to one and the same number."""
ALL = 100_000


@dataclass
class Person:
    """One who edits without a pause."""

    address: str
    owned: Owned
    stop: threading.Event
    kept: dict[str, tuple[int, Any]] = field(default_factory=dict)
    """id -> place in the history and changes, of every edit that was acknowledged."""
    sent: dict[str, Any] = field(default_factory=dict)
    """id -> changes, of every edit that was ever sent."""
    told: str = ""
    """What was answered that nobody should be."""

    def work(self) -> None:
        """Edit until the service is gone."""
        table, key, columns = self.owned
        try:
            with httpx.Client(base_url=self.address, timeout=30) as client:
                row = client.get(f"/api/rows/{table}/{key}").json()["cells"]
                seen = [row[column] for column in columns]
                while not self.stop.is_set():
                    seen = self._edit(client, seen)
        except httpx.HTTPError:
            return

    def _edit(self, client: httpx.Client, seen: list[Any]) -> list[Any]:
        table, key, columns = self.owned
        number = float(round((seen[0] or 0) + 1))
        changes = [
            {"table": table, "key": key, "column": column, "old": old, "new": number}
            for column, old in zip(columns, seen, strict=True)
        ]
        edit_id = str(uuid4())
        self.sent[edit_id] = changes
        answer = client.post(
            "/api/edits", json={"id": edit_id, "why": "a storm", "changes": changes}
        )
        if answer.status_code == 200:
            self.kept[edit_id] = answer.json()["seq"], changes
            return [number, number]
        if answer.status_code == 409:
            time.sleep(0.01)
            now = {each["column"]: each["now"] for each in answer.json()["error"]["conflicts"]}
            return [now.get(column, old) for column, old in zip(columns, seen, strict=True)]
        if answer.status_code not in (429, 503):
            self.told = answer.text
            self.stop.set()
        time.sleep(0.05)
        return seen


@dataclass
class Storm(Raging):
    """People who edit until told to stop or the service is gone."""

    workers: Sequence[Person]

    @property
    def kept(self) -> dict[str, tuple[int, Any]]:
        """Every acknowledged edit."""
        return {i: told for person in self.workers for i, told in list(person.kept.items())}

    @property
    def sent(self) -> dict[str, Any]:
        """Every edit that was sent."""
        return {i: changes for person in self.workers for i, changes in person.sent.items()}


def storm(address: str) -> Storm:
    """Begin."""
    stop = threading.Event()
    people = [Person(address, owned, stop) for owned in OWNED]
    threads = [threading.Thread(target=person.work) for person in people]
    for each in threads:
        each.start()
    return Storm(people, threads, stop)


def lost_edits(register: Register, kept: dict[str, tuple[int, Any]]) -> list[str]:
    """Give acknowledged edits that the history does not hold as they were acknowledged."""
    history = {past.id: past for past in register.history(limit=ALL)}
    return [
        edit_id
        for edit_id, (seq, changes) in kept.items()
        if edit_id not in history
        or (history[edit_id].seq, _plain(history[edit_id].changes)) != (seq, changes)
    ]


def require_whole(register: Register, sent: dict[str, Any]) -> None:
    """Hold cells, history, revision and data version against each other: nothing is half done."""
    standing, raw = register.present()
    history = list(reversed(register.history(limit=ALL)))
    assert [past.seq for past in history] == list(range(1, len(history) + 1))
    assert standing.revision == len(history)
    assert standing.data_version == history[-1].data_version == check(raw)
    cells: dict[tuple[str, str, str], Any] = {}
    for past in history[1:]:  # the first is the import
        assert past.change_count == len(past.changes) == 2
        assert _plain(past.changes) == sent.get(past.id, _plain(past.changes))
        for change in past.changes:
            at = change.table, change.key, change.column
            assert cells.get(at) == change.old, (past.seq, at)
            cells[at] = change.new
    for table, key, columns in OWNED:
        row = list(raw.tables[table].cells["offtake_id"]).index(key)
        stand = {raw.tables[table].cells[column][row] for column in columns}
        assert stand == {cells.get((table, key, column)) for column in columns}
        assert len(stand) == 1, f"{table} {key}: half an edit, {columns} hold {stand}"


def _plain(changes: Sequence[Any]) -> list[dict[str, Any]]:
    return [
        {"table": c.table, "key": c.key, "column": c.column, "old": c.old, "new": c.new}
        for c in changes
    ]
