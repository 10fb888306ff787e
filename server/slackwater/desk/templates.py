"""Give someone an empty workbook to start from."""

from __future__ import annotations

from pathlib import Path

from slackwater.errors import UsageError
from slackwater.files import template


def write_template(file: Path) -> None:
    """Write the workbook template; see `slackwater.files.template`.

    Raises
    ------
    UsageError
        Where the name does not end in .xlsx, its folder is missing, or the file is there already.
    """
    if file.suffix.lower() != ".xlsx":
        raise UsageError(f"{file.name}: a workbook's name ends in .xlsx")
    if not file.parent.is_dir():
        raise UsageError(f"no folder {file.parent} to write {file.name} into")
    if file.exists():
        raise UsageError(f"{file.name} is there already; choose another name")
    template.write_template(file)
