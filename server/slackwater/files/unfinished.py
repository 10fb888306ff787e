"""How is a file never left half written? It gets its name only once it is complete."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from slackwater.errors import UsageError


@contextmanager
def finished(path: Path) -> Iterator[Path]:
    """Give a place beside ``path`` to write to; it becomes ``path`` when all went well.

    What was at ``path`` stays untouched until then: a file is replaced, a folder must be empty
    or absent.

    Raises
    ------
    UsageError
        Where a folder with files in it, or no folder above, is there.
    """
    path = Path(path)
    if not path.parent.is_dir():
        raise UsageError(f"there is no folder {path.parent}")
    if path.is_dir() and any(path.iterdir()):
        raise UsageError(f"{path} holds files already; give a new or an empty folder")
    partial = path.with_name(f".{os.getpid()}.partial.{path.name}")
    try:
        yield partial
        if path.is_dir():
            path.rmdir()
        os.replace(partial, path)
    finally:
        if partial.is_dir():
            shutil.rmtree(partial)
        else:
            partial.unlink(missing_ok=True)
