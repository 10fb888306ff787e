"""How did a cell come about? As the edit that wrote it last said; else as its row says of all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from slackwater.desk.visibility import Viewer
from slackwater.store import Past, Register

OF_THE_ROW = ("", "basis", "source", "observed_on")
"""Written later than a cell, these speak of it as well; "" is the whole row."""
ROLE = "lead"
"""Whose edits of an offtake are: told in place of a name to whoever may not read the history."""


@dataclass(frozen=True)
class Grounds:
    """What the edit said that wrote a cell.

    Attributes
    ----------
    observed_on : ISO date, "" where not said.
    """

    basis: str
    source: str
    observed_on: str
    by: str

    def told_to(self, viewer: Viewer) -> dict[str, str | None]:
        """Give them as a viewer may read them: words and names of the history are the lead's."""
        told: dict[str, str | None] = {"basis": self.basis, "observed_on": self.observed_on or None}
        if viewer is Viewer.LEAD:
            return {**told, "source": self.source, "by": self.by}
        return {**told, "source": "", "by": ROLE if viewer is Viewer.AGENCY else ""}


GroundsOf = Callable[[str], Mapping[str, Grounds]]
"""Gives column -> grounds of an offtake by its code, without columns of which the row speaks."""


def grounds_in(register: Register, revision: int) -> GroundsOf:
    """Give how cells of the offtakes came about, in the data of a revision."""

    def of(code: str) -> Mapping[str, Grounds]:
        writes = register.writes("offtakes", code)
        return grounds_of((column, past) for column, past in writes if past.revision <= revision)

    return of


def grounds_of(writes: Iterable[tuple[str, Past]]) -> dict[str, Grounds]:
    """Give column -> grounds where an edit says how the cell came about.

    Parameters
    ----------
    writes : (column, edit) of one row in the order they were made; what was undone counts as
        never written.
    """
    standing = _standing(writes)
    of_row = max((chain[-1].seq for name, chain in standing.items()
                  if name in OF_THE_ROW and chain), default=0)  # fmt: skip
    last = {
        column: chain[-1]
        for column, chain in standing.items()
        if column not in OF_THE_ROW and chain and chain[-1].seq > of_row
    }
    return {
        column: Grounds(past.basis, past.source, past.observed_on, past.by)
        for column, past in last.items()
        if past.basis
    }


def _standing(writes: Iterable[tuple[str, Past]]) -> dict[str, list[Past]]:
    """Give, of each column, the edits that hold, the last one last."""
    standing: dict[str, list[Past]] = {}
    taken_back: dict[tuple[str, str], list[Past]] = {}
    for column, past in writes:
        chain = standing.setdefault(column, [])
        ids = [each.id for each in chain]
        if past.undoes in ids:
            at = ids.index(past.undoes)
            taken_back[column, past.id] = chain[at:]
            del chain[at:]
        elif (column, past.undoes) in taken_back:
            chain += taken_back.pop((column, past.undoes))
        else:
            chain.append(past)
    return standing
