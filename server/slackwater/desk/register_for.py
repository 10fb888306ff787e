"""The register as one caller may work on it: a scientist has the biology and the screens alone.

What a scientist is told holds nothing of any other table: neither rows nor history nor the words
that were said of a change which also touched another.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any

from slackwater.desk.editing import findings_of, make_edit, past_values, undo_edit
from slackwater.desk.pasting import paste_preview
from slackwater.desk.row_shown import row_values
from slackwater.desk.visibility import Viewer, sees
from slackwater.desk.warnings_shown import visibility_of
from slackwater.desk.working import Working
from slackwater.errors import Finding, InputFaults, NotAllowed
from slackwater.people.roles import BIOLOGY, Caller, Least
from slackwater.store import Edit, Past

FOR_A_LEAD = "a lead can see what is wrong there"


@dataclass(frozen=True)
class RegisterFor:
    """One database and who works on it."""

    working: Working
    caller: Caller

    def edit(self, edit: Edit, *, dry_run: bool = False) -> dict[str, Any]:
        """Keep an edit, see `make_edit`.

        Raises
        ------
        NotAllowed
            Where it touches a table that is not the caller's.
        """
        self._require(change.table for change in edit.changes)
        with self._own_faults():
            return make_edit(self.working, edit, dry_run=dry_run)

    def undo(self, edit_id: str, new_id: str, why: str, by: str) -> dict[str, Any]:
        """Take an edit back, see `undo_edit`.

        Raises
        ------
        NotAllowed
            Where it touched a table that is not the caller's.
        """
        past = self.working.register.edit(edit_id)
        self._require(change.table for change in (past.changes if past else ()))
        with self._own_faults():
            return undo_edit(self.working, edit_id, new_id, why, by)

    def history(self, table: str, key: str, before: int | None, limit: int) -> dict[str, Any]:
        """Give past edits of the caller's tables, or of one of them, the newest first.

        Raises
        ------
        NotAllowed
            Where a table is asked for that is not the caller's.
        """
        if table:
            self._require([table])
        register = self.working.register
        past = register.history(
            table=table, key=key, before_seq=before, limit=limit + 1, among=self._tables
        )
        told = self._own_words(past[:limit])
        return {"edits": [past_values(each) for each in told], "more": len(past) > limit}

    def row(self, table: str, key: str) -> dict[str, Any]:
        """Give one row as it can be edited, see `row_values`.

        Raises
        ------
        NotAllowed
            Where the table is not the caller's.
        """
        self._require([table])
        last = self.working.register.written_last(table, key)
        told = self._own_words(last.values())
        return row_values(self.working, table, key, dict(zip(last, told, strict=True)))

    def paste(self, table: str, text: str) -> dict[str, Any]:
        """Say what pasted rows would change, see `paste_preview`.

        Raises
        ------
        NotAllowed
            Where the table is not the caller's.
        """
        self._require([table])
        told = paste_preview(self.working, table, text)
        faults = [Finding(**each) for each in told["findings"]]
        return {**told, "findings": findings_of(self._told(faults))}

    @property
    def _sees_all(self) -> bool:
        return self.caller.may(Least.LEAD)

    @property
    def _tables(self) -> Collection[str]:
        """Tables the history is told of; empty for all."""
        return () if self._sees_all else BIOLOGY

    def _require(self, tables: Iterable[str]) -> None:
        others = sorted({table for table in tables if not self.caller.may_edit(table)})
        if others:
            own = ", ".join(sorted(BIOLOGY))
            raise NotAllowed(f"this is about {', '.join(others)}; a scientist works on {own} alone")

    def _own_words(self, past: Iterable[Past]) -> list[Past]:
        """Leave out what was said of edits that touched other tables too."""
        listed = list(past)
        if self._sees_all:
            return listed
        mixed = self.working.register.touched_others([each.seq for each in listed], BIOLOGY)
        return [
            replace(each, why="", source="", basis="") if each.seq in mixed else each
            for each in listed
        ]

    @contextmanager
    def _own_faults(self) -> Iterator[None]:
        """Tell of faults only what the caller may see."""
        try:
            yield
        except InputFaults as refused:
            raise InputFaults(self._told(refused.faults)) from None

    def _told(self, faults: Iterable[Finding]) -> list[Finding]:
        if self._sees_all:
            return list(faults)
        return [
            fault
            if fault.table in BIOLOGY or sees(Viewer.AGENCY, visibility_of(fault))
            else Finding(fault.table, None, "", "", "", fault.code, FOR_A_LEAD)
            for fault in faults
        ]
