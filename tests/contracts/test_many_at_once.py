"""Many read while several write the same few cells: nobody gets an error, no edit is lost.

How long it takes is measured by `scripts/bench people`, never here.
"""

from __future__ import annotations

import asyncio
from pathlib import Path

from slackwater.api.entry import Entry
from slackwater.desk.accounts import Accounts
from tests.bench.crowd import Crowd, Noted, lost, together
from tests.contracts.features_served import served
from tests.contracts.small_register import small_working

READERS, WRITERS, LASTS_S = 12, 6, 10.0


def test_for_ten_seconds_no_error_and_no_lost_edit(tmp_path: Path) -> None:
    """Every edit that was acknowledged is in the history, each made on the value before it, and the
    last one stands; some writers were told that somebody was first."""
    working = small_working(tmp_path / "small.sqlite")
    accounts, noted = Accounts(working.register), Noted()

    def token(name: str, role: str, scope: str) -> str:
        accounts.add_person(name, [role], None, "test")
        return str(accounts.make_token(name, "crowd", scope, 1)["secret"])

    readers = [token(f"reader {each}", "scientist", "read") for each in range(READERS)]
    writers = [token(f"writer {each}", "lead", "all") for each in range(WRITERS)]
    try:
        with served(working, Entry(accounts=accounts)) as address:
            crowd = Crowd(address, ["A", "B", "C"], noted, shared_cells=2)
            asyncio.run(together(crowd, readers, writers, LASTS_S, 0.4, 0.2))
            assert noted.wrong == []
            assert lost(address, writers[0], noted) == []
    finally:
        working.close()
    assert len(noted.acknowledged) >= 5
    assert noted.conflicts > 0
    assert {"catchment", "offtakes", "why", "losses", "items", "edition"} == set(noted.reads)


def test_a_lost_edit_would_be_found(tmp_path: Path) -> None:
    """An edit that was acknowledged and is not there, or was made on another value, is named."""
    working = small_working(tmp_path / "small.sqlite")
    accounts = Accounts(working.register)
    accounts.add_person("ada", ["lead"], None, "test")
    token = str(accounts.make_token("ada", "crowd", "all", 1)["secret"])
    noted = Noted(acknowledged={"never-kept": ("A", None, 1.0)})
    try:
        with served(working, Entry(accounts=accounts)) as address:
            wrong = lost(address, token, noted)
    finally:
        working.close()
    assert wrong == ["never-kept is not in the history"]
