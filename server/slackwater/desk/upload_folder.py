"""Where do sent files lie, and what of a service that was killed before it could clean up?

Each service has a folder of its own that only its user may enter. It holds a lock on it for as
long as it lives; the system lets go of that lock however it ends. So a folder of ours whose lock
is free belongs to nobody any more.
"""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
from contextlib import suppress
from pathlib import Path
from types import ModuleType

PREFIX = "slackwater-uploads-"

fcntl: ModuleType | None
try:
    import fcntl
except ImportError:  # not on every system; there nothing is swept
    fcntl = None


class UploadFolder:
    """A folder that only this user may enter, held while this process lives."""

    def __init__(self) -> None:
        self.path, self._held = _held_folder()

    def remove(self) -> None:
        """Take it away, and let go of it."""
        shutil.rmtree(self.path, ignore_errors=True)
        if self._held >= 0:
            with suppress(OSError):
                os.close(self._held)
            self._held = -1


def sweep_left_behind() -> int:
    """Take away what services of this user left when they were killed; give how many folders."""
    if fcntl is None:
        return 0
    folders = Path(tempfile.gettempdir()).glob(f"{PREFIX}*")
    return sum(_sweep(folder) for folder in folders if _is_ours(folder))


def _held_folder() -> tuple[str, int]:
    """Make a folder and hold it; again where another's sweep came between the two."""
    while True:
        path = tempfile.mkdtemp(prefix=PREFIX)
        if fcntl is None:
            return path, -1
        with suppress(FileNotFoundError):
            held = os.open(path, os.O_RDONLY)
            fcntl.flock(held, fcntl.LOCK_EX)
            if Path(path).is_dir():
                return path, held
            os.close(held)


def _is_ours(folder: Path) -> bool:
    """Whether it is a real folder of this user."""
    try:
        found = folder.lstat()
    except OSError:
        return False
    return stat.S_ISDIR(found.st_mode) and found.st_uid == os.getuid()


def _sweep(folder: Path) -> bool:
    """Take a folder away unless a living process holds it; held itself meanwhile."""
    assert fcntl is not None
    try:
        held = os.open(folder, os.O_RDONLY | os.O_NOFOLLOW | os.O_DIRECTORY)
    except OSError:
        return False
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        shutil.rmtree(folder, ignore_errors=True)
    except OSError:
        return False
    finally:
        os.close(held)
    return True
