"""Who is told when something changes?"""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock

Listener = Callable[[], None]


class Listeners:
    """Functions that are called after a change, in the thread that made it."""

    def __init__(self) -> None:
        self._listeners: dict[int, Listener] = {}
        self._heard = 0
        self._lock = Lock()

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Have a function called from now on; give what ends it. It must neither wait nor raise."""
        with self._lock:
            self._heard += 1
            key = self._heard
            self._listeners[key] = listener

        def end() -> None:
            with self._lock:
                self._listeners.pop(key, None)

        return end

    def tell(self) -> None:
        """Call them all."""
        with self._lock:
            listeners = tuple(self._listeners.values())
        for listener in listeners:
            listener()
