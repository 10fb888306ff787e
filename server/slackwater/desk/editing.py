"""How does the register change? Every edit is checked as a whole, kept with its reason, undone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from slackwater.catchment.raw import RawCatchment
from slackwater.desk.opening import Opened, opened
from slackwater.desk.working import Newest, Working
from slackwater.errors import Finding, NotHere, UsageError
from slackwater.store import GEOMETRY, Change, Done, Edit, Past, StoredCatchment

OF_THEIR_OWN = {
    "import": "an import is taken back by importing what stood before; the old data is kept",
    "follow_up": "this came with a step of an offer's follow-up; write its next step instead",
}
"""Kinds of edits that are not undone one by one, and what to do instead."""


@dataclass
class Check:
    """Understands what an edit would lead to, and remembers it; a fault refuses the edit."""

    raw: StoredCatchment | None = field(default=None, init=False)
    opened: Opened | None = field(default=None, init=False)

    def __call__(self, raw: RawCatchment) -> str:
        """Give the data version the catchment would have.

        Raises
        ------
        InputFaults
            With every fault, so that nothing is written.
        """
        self.opened = opened(raw)
        self.raw = raw if isinstance(raw, StoredCatchment) else None
        return self.opened.catchment.data_version

    def warnings_of(self, changes: Iterable[Change]) -> list[dict[str, Any]]:
        """Give what is odd about the rows that were touched.

        Whoever edits waits for this, so draws above flow are looked at only for reaches.
        """
        touched = {(change.table, change.key) for change in changes}
        if self.opened is None:
            return []
        of_reaches = any(table == "reaches" for table, _ in touched)
        found = self.opened.warnings if of_reaches else self.opened.noticed
        return [each.as_dict() for each in found if (each.table, each.key) in touched]


def edit_of(asked: Mapping[str, Any]) -> Edit:
    """Give an edit from the values it was asked with.

    Raises
    ------
    UsageError
        Where a cell is given anything but a number or a text.
    """
    changes = tuple(Change(**each) for each in asked["changes"])
    for change in changes:
        if change.column and change.column != GEOMETRY:
            for value in (change.old, change.new):
                if isinstance(value, bool) or not isinstance(value, str | int | float | None):
                    raise UsageError(
                        f"{change.table} {change.key}, {change.column}: "
                        "a cell holds a number or a text, or null where it is blank"
                    )
    return Edit(**{**asked, "changes": changes})


def make_edit(working: Working, edit: Edit, *, dry_run: bool = False) -> dict[str, Any]:
    """Keep an edit, or only say what would come of it.

    Raises
    ------
    EditConflict
        Where a cell is no longer what the edit took it to be.
    InputFaults
        Where the catchment would be at fault.
    UsageError
        Where a table, column or row is unknown, or the id was used for another edit.
    """
    check = Check()
    done = working.register.apply(edit, check, dry_run=dry_run)
    return {**kept(working, done, check), "warnings": check.warnings_of(edit.changes)}


def kept(working: Working, done: Done, check: Check) -> dict[str, Any]:
    """Begin to work out what was written, and say where it stands."""
    written = not done.repeated and done.seq > 0
    if written and check.raw is not None and check.opened is not None:
        working.heard(Newest(done.standing, check.raw, check.opened))
    return {
        "id": done.edit_id,
        "seq": done.seq or None,
        "at": done.at or None,
        "revision": done.standing.revision,
        "data_version": done.standing.data_version,
        "repeated": done.repeated,
    }


def undo_edit(working: Working, edit_id: str, new_id: str, why: str, by: str) -> dict[str, Any]:
    """Take an edit back by a new one; what was undone is undone again in the same way.

    Raises
    ------
    NotHere
        Where there is no such edit.
    EditConflict
        Where a cell was changed again since.
    InputFaults
        Where the catchment would be at fault without it.
    """
    past = working.register.edit(edit_id)
    if past is None:
        raise NotHere("there is no such edit here")
    if past.kind in OF_THEIR_OWN:
        raise UsageError(OF_THEIR_OWN[past.kind])
    back = tuple(replace(c, old=c.new, new=c.old) for c in reversed(past.changes))
    return make_edit(
        working, Edit(id=new_id, changes=back, why=why, by=by, undoes=edit_id, kind="undo")
    )


def past_values(past: Past) -> dict[str, Any]:
    """Give one past edit as plain values."""
    return {
        "id": past.id,
        "seq": past.seq,
        "at": past.at,
        "by": past.by,
        "why": past.why,
        "basis": past.basis,
        "source": past.source,
        "observed_on": past.observed_on,
        "kind": past.kind,
        "undoes": past.undoes,
        "undone_by": past.undone_by,
        "changes": [asdict(change) for change in past.changes],
        "change_count": past.change_count,
    }


def findings_of(found: Iterable[Finding]) -> list[dict[str, Any]]:
    """Give findings as plain values."""
    return [each.as_dict() for each in found]
