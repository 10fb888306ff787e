"""What does whoever has the link of a shared case see? Its public page, and the map to take away.

Whether the link stands is asked elsewhere, each time; here the pages are only made, and kept while
they would come out the same.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock

from slackwater.desk.paper.documents import Documents, documents_of, paper_look
from slackwater.desk.visibility import Viewer
from slackwater.desk.working import Working
from slackwater.errors import UsageError

MOST_KEPT = 16
Key = tuple[str, str, bool, str]


@dataclass(frozen=True)
class SavedMap:
    """The public map as a file, with a name that is safe on every disk and in every header."""

    content: bytes
    name: str


class SharedPages:
    """The public pages of a database's shared cases, each made once a day and state of the data."""

    def __init__(self, working: Working) -> None:
        self._working = working
        self._kept: OrderedDict[Key, str | SavedMap] = OrderedDict()
        self._making = Lock()

    def page(self, case_id: str, map_address: str, look_address: str) -> str:
        """Give the page as HTML that names these two addresses and no other.

        Raises
        ------
        NotHere
            Where there is no such case.
        """
        made = self._of(case_id, map_address, lambda of: of.public_page(map_address, look_address))
        assert isinstance(made, str)
        return made

    def map(self, case_id: str) -> SavedMap:
        """Give the public map of a case as a file.

        Raises
        ------
        NotHere
            Where there is no such case.
        """
        made = self._of(case_id, "", _map_of)
        assert isinstance(made, SavedMap)
        return made

    def _of(
        self, case_id: str, what: str, make: Callable[[Documents], str | SavedMap]
    ) -> str | SavedMap:
        """Give what was made before where it would come out the same; one is made at a time."""
        documents = documents_of(self._working, case_id)
        stamp = documents.case.stamp(documents.now, Viewer.PUBLIC)
        key = (case_id, what, stamp.is_present, documents.now.date().isoformat())
        with self._making:
            if key not in self._kept:
                self._kept[key] = make(documents)
                if len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]


def shared_case_named(working: Working, asked: str) -> str:
    """Give the id of the shared case of this id or exact name.

    Raises
    ------
    UsageError
        Where there is none, more than one of the name, or it is not shared.
    """
    cases = [case for case in working.register.cases() if asked in (case.id, case.name)]
    shared = [case for case in cases if case.shared_at]
    if not cases:
        raise UsageError(f"there is no case {asked!r}; give its id or its exact name")
    if not shared:
        raise UsageError(f"{asked!r} is not shared; only a shared case may be shown to others")
    if len(shared) > 1:
        ids = ", ".join(case.id for case in shared)
        raise UsageError(f"{len(shared)} shared cases are called {asked!r}; give one's id: {ids}")
    return shared[0].id


@dataclass(frozen=True)
class ShownCase:
    """All that a room may read of one case, made once."""

    name: str
    catchment: str
    page: str
    look: str
    map: SavedMap


def shown_case(working: Working, case_id: str, root: str = "") -> ShownCase:
    """Make what a room may read of a shared case at its leisure.

    Parameters
    ----------
    root : address under which the page's style sheet (`look.css`) and map (`map.html`) stand.
    """
    documents = documents_of(working, case_id)
    return ShownCase(
        name=str(documents.case.case["name"]),
        catchment=documents.case.evaluation.catchment.name,
        page=documents.public_page(f"{root}/map.html", f"{root}/look.css"),
        look=paper_look(),
        map=_map_of(documents),
    )


def _map_of(documents: Documents) -> SavedMap:
    return SavedMap(documents.map_file(Viewer.PUBLIC), documents.file_name("html"))
