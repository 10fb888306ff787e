"""Long work in steps of its own: the sweeps within do not count, but stop when told."""

from __future__ import annotations

from slackwater.progress import Progress


class Within(Progress):
    """Progress of a part whose steps are not counted; it stops when the whole is told to."""

    def __init__(self, whole: Progress) -> None:
        super().__init__()
        self._whole = whole

    def expect(self, units: int) -> None:
        """Know of work that does not count."""

    def advance(self, units: int = 1) -> None:  # noqa: ARG002 what is done within does not count
        """Check in.

        Raises
        ------
        Cancelled
            Where the whole was told to stop.
        """
        self._whole.advance(0)

    @property
    def stopped(self) -> bool:
        """Whether the whole was told to stop."""
        return self._whole.stopped
