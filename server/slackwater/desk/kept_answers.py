"""Which answers are kept once worked out? The latest few, each under all it depends on."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any

KEPT_AT_MOST = 256


class KeptAnswers:
    """The answers asked for last, the oldest dropped first; safe among threads.

    Parameters
    ----------
    most : how many are kept.
    """

    def __init__(self, most: int = KEPT_AT_MOST) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = Lock()

    def __len__(self) -> int:
        """Count what is kept."""
        return len(self._kept)

    def give(self, key: Hashable, work_out: Callable[[], Any]) -> Any:
        """Give the answer under a key, worked out where it is not kept.

        Two who ask at once may both work it out; neither waits for the other.
        """
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        answer = work_out()
        with self._lock:
            self._kept[key] = answer
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return answer
