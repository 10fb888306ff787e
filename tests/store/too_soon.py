"""Serve a database with a register that answers first and commits a moment later.

Only a test runs this: it proves that the tests of killed servers would see such a fault.
"""

from __future__ import annotations

import time
from dataclasses import replace
from threading import Thread

from slackwater.cli import main
from slackwater.store import Check, Done, Edit, Register

LATE_S = 0.5
_in_time = Register.apply


def _too_soon(self: Register, edit: Edit, check: Check, *, dry_run: bool = False) -> Done:
    done = _in_time(self, edit, check, dry_run=True)
    if dry_run:
        return done

    def late() -> None:
        time.sleep(LATE_S)
        _in_time(self, edit, check)

    Thread(target=late, daemon=True).start()
    return replace(done, seq=done.standing.revision, at=done.standing.changed_at)


if __name__ == "__main__":
    Register.apply = _too_soon  # type: ignore[method-assign]
    main()
