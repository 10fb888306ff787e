"""One tree of errors. Input errors carry table, row, column, value and remedy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong (a fault) or odd (a warning) in a catchment's data.

    Attributes
    ----------
    table : contract name of the table, ``catchment`` for a setting.
    row : line (CSV, sheets; header is 1), feature number from 1, or fid; None: the whole table.
    key : the row's key as text, parts joined by ``/``; empty where there is none.
    column : contract name of the column; empty where no single column is meant.
    value : the cell as it was read, as text.
    code : short stable name of the kind of finding.
    remedy : what would be right, in plain words.
    """

    table: str
    row: int | None
    key: str
    column: str
    value: str
    code: str
    remedy: str

    def as_dict(self) -> dict[str, Any]:
        """Give the finding as plain JSON values."""
        return asdict(self)

    def __str__(self) -> str:
        """One line a person can act on."""
        place = self.table
        if self.row is not None:
            place += f" row {self.row}"
        if self.key:
            place += f" ({self.key})"
        if self.column:
            place += f", {self.column}"
        value = f" = {self.value!r}" if self.value else ""
        return f"{place}{value}: {self.remedy} [{self.code}]"


class SlackwaterError(Exception):
    """Root of everything this service raises on purpose.

    Attributes
    ----------
    of_store : whether it says where the database is, which is for the log and not for callers.
    """

    of_store: bool = False


class InputFaults(SlackwaterError):
    """The catchment cannot be loaded; every fault is listed, nothing was taken in."""

    def __init__(self, faults: Sequence[Finding], warnings: Sequence[Finding] = ()) -> None:
        self.faults = tuple(faults)
        self.warnings = tuple(warnings)
        lines = "\n".join(str(fault) for fault in self.faults)
        super().__init__(f"{len(self.faults)} fault(s) in the catchment's data\n{lines}")


class UsageError(SlackwaterError):
    """The call itself is wrong: an unknown id, a bad budget, a missing path."""


class NoSetPossible(SlackwaterError):
    """No funding set meets the rules; says which clash and by how much.

    Attributes
    ----------
    clash : ``{"rule": ..., "short_by": money}`` for each rule that cannot be met.
    """

    def __init__(self, clash: Sequence[dict[str, Any]]) -> None:
        self.clash = tuple(clash)
        parts = "; ".join(f"{c['rule']} short by {c['short_by']:,.0f}" for c in self.clash)
        super().__init__(f"no set possible: {parts}")


class Cancelled(SlackwaterError):
    """The work was told to stop and did."""


class Busy(SlackwaterError):
    """As much is being worked out as can be at once."""


class SignInRefused(SlackwaterError):
    """Name and password, token or session do not stand for anyone who may come in."""


class LockedOut(SlackwaterError):
    """Too many wrong tries; says when the next one counts."""


class NotAllowed(SlackwaterError):
    """The roles of whoever asks do not suffice."""


class NotHere(SlackwaterError):
    """What was asked for is not there, or not any more."""


class ReadOnly(NotHere):
    """The catchment is read from a file, which nothing changes."""

    def __init__(self) -> None:
        super().__init__(
            "This catchment is read from a file; slackwater import makes a database that can be "
            "worked on."
        )


class TooLarge(SlackwaterError):
    """What was sent is larger than is taken in; nothing of it is kept."""


class Settled(SlackwaterError):
    """It stands as it is for good: a shared case, an edit that was undone."""


class StoreFailed(SlackwaterError):
    """The database cannot be reached, or cannot write; nothing was acknowledged."""


@dataclass(frozen=True)
class Conflict:
    """One cell that is no longer what an edit took it to be.

    Attributes
    ----------
    seen, now : the value the edit was made on, and the one that stands; None for an empty cell.
    by, at : who wrote the one that stands, and when (ISO); "" where it came with the data.
    """

    table: str
    key: str
    column: str
    seen: Any
    now: Any
    by: str = ""
    at: str = ""


class EditConflict(SlackwaterError):
    """Someone else was first; nothing was written, and both values are told."""

    def __init__(self, conflicts: Sequence[Conflict]) -> None:
        self.conflicts = tuple(conflicts)
        parts = "; ".join(
            f"{c.table} {c.key}, {c.column}: you saw {c.seen!r}, it is {c.now!r} now"
            + (f" (by {c.by}, {c.at})" if c.at else "")
            for c in self.conflicts
        )
        super().__init__(f"changed meanwhile, nothing was written: {parts}")


HTTP_STATUS: dict[type[SlackwaterError], int] = {
    InputFaults: 422,
    UsageError: 400,
    NoSetPossible: 409,
    Cancelled: 499,
    Busy: 429,
    SignInRefused: 401,
    LockedOut: 429,
    NotAllowed: 403,
    NotHere: 404,
    TooLarge: 413,
    EditConflict: 409,
    Settled: 409,
    StoreFailed: 503,
}

EXIT_CODE: dict[type[SlackwaterError], int] = {
    InputFaults: 2,
    UsageError: 2,
    NoSetPossible: 3,
    Cancelled: 4,
    Busy: 1,
    SignInRefused: 2,
    LockedOut: 1,
    NotAllowed: 2,
    NotHere: 2,
    TooLarge: 2,
    EditConflict: 1,
    Settled: 2,
    StoreFailed: 1,
}
