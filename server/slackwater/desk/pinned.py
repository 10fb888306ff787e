"""The data as it stood when a case was saved: evaluated when asked for, the latest few kept."""

from __future__ import annotations

from dataclasses import replace
from threading import Lock

from slackwater.desk.cell_grounds import grounds_in
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.map_view import Relief, view_of
from slackwater.desk.opening import opened
from slackwater.desk.showing import Shown
from slackwater.store import Register

EDITIONS_KEPT = 3
"""An edition of some hundred offtakes takes a few tens of megabytes."""


class Pinned:
    """Old editions of one database, each with a desk of sets that learns while it is kept."""

    def __init__(self, register: Register) -> None:
        self._register = register
        self._kept = KeptAnswers(EDITIONS_KEPT)
        self._working_out = Lock()

    def of(self, data_version: str) -> Shown:
        """Give the edition of a data version that a case rests on.

        Raises
        ------
        NotHere
            Where that version's data was not kept.
        """
        with self._working_out:  # who asks second waits for the first instead of doing it twice
            shown: Shown = self._kept.give(data_version, lambda: self._evaluated(data_version))
        return shown

    def keep(self, shown: Shown) -> None:
        """Keep an edition that was the present one until now: someone may still look at it."""
        version = shown.view.catchment.data_version
        self._kept.give(version, lambda: replace(shown, revision=None))

    def _evaluated(self, data_version: str) -> Shown:
        checked = opened(self._register.edition(data_version))
        grounds = grounds_in(self._register, self._register.first_revision_of(data_version))
        view = view_of(checked, relief_of(self._register))
        return Shown(view, working=True, grounds=grounds)


def relief_of(register: Register) -> Relief | None:
    """Give the picture under the rivers; every edition of a database has the same."""
    picture = register.relief()
    return Relief(picture.png, picture.bounds) if picture else None
