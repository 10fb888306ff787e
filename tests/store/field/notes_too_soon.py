"""Serve a database with a field book that answers first and writes a moment later.

Only a test runs this: it proves that the tests of killed servers would see such a fault.
"""

from __future__ import annotations

import time
from collections.abc import Iterable
from threading import Thread

from slackwater.cli import main
from slackwater.store.field_book import FieldBook, Written
from slackwater.store.field_records import Note

LATE_S = 0.5
_in_time = FieldBook.write


def _too_soon(self: FieldBook, sent: Iterable[Note]) -> Written:
    notes = list(sent)

    def late() -> None:
        time.sleep(LATE_S)
        _in_time(self, notes)

    Thread(target=late, daemon=True).start()
    return Written(tuple(note.id for note in notes), (), ())


if __name__ == "__main__":
    FieldBook.write = _too_soon  # type: ignore[method-assign]
    main()
