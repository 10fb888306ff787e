"""One file that someone sent: what it may be called, and how it is read."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePath
from uuid import uuid4

from slackwater.catchment.contract import TABLES
from slackwater.desk.importing import Present
from slackwater.desk.reading_apart import ReadApart, read_again, read_apart
from slackwater.errors import Finding, InputFaults, NotHere, UsageError
from slackwater.files.packed import Room, unpack
from slackwater.files.sent import IN_FOLDER, require_kind, require_plain_workbook
from slackwater.progress import Progress
from slackwater.store import Given

ENDINGS = (".gpkg", ".xlsx", ".zip")
LONGEST_NAME = 200
NO_SUCH_UPLOAD = "there is no such upload here any more; send the file again"


@dataclass
class SentFile:
    """One file that was sent.

    Attributes
    ----------
    name : what its sender called it; never a path here.
    folder : ours alone.
    standing_name : what the catchment that stands is called where no settings name it.
    revision : of the database it was compared with; accepting it is refused after other edits.
    faults : why it cannot be taken in.
    """

    name: str
    ending: str
    folder: Path
    most_bytes: int
    id: str = field(default_factory=lambda: str(uuid4()))
    standing_name: str = ""
    revision: int | None = None
    faults: tuple[Finding, ...] | None = None

    @property
    def file(self) -> Path:
        """Where it lies as it came."""
        return self.folder / f"sent{self.ending}"

    @property
    def answer(self) -> Path:
        """Where what was read from it lies."""
        return self.folder / "read"

    @property
    def unpacked(self) -> Path:
        """Where the files of a packed folder lie while they are read."""
        return self.folder / "unpacked"

    def given(self) -> Given:
        """Give the catchment that was read from it; unnamed, it is called as what stands is.

        Raises
        ------
        NotHere
            Where it was not read to the end, or has made way for newer ones.
        InputFaults
            Where it is at fault.
        """
        if self.faults:
            raise InputFaults(self.faults)
        try:
            given = None if self.faults is None else read_again(self.answer).given
        except OSError:
            given = None
        if given is None:
            raise NotHere(NO_SUCH_UPLOAD)
        return replace(given, default_name=self.standing_name or Path(self.name).stem)

    def drop(self) -> None:
        """Take everything of it away."""
        shutil.rmtree(self.folder, ignore_errors=True)


def ending_of(name: str) -> str:
    """Give the ending of a file's name, in small letters.

    Raises
    ------
    UsageError
        Where the name holds more than a name, or ends in nothing that is read.
    """
    plain = name.isprintable() and not set(name) & set("/\\:") and len(name) <= LONGEST_NAME
    if not plain or name.startswith("."):
        raise UsageError("give the file's own name: letters, digits and points, without folders")
    ending = PurePath(name).suffix.lower()
    if ending not in ENDINGS:
        raise UsageError(f"a file may end in {', '.join(ENDINGS)} (a packed folder)")
    return ending


def read_sent(sent: SentFile, present: Present, progress: Progress) -> ReadApart:
    """Read a file; of what was sent nothing is left but what was read.

    Raises
    ------
    Cancelled
        Where ``progress`` was told to stop.
    """
    sent.standing_name = present.name
    try:
        told = read_apart(_laid_out(sent), sent.answer, present, progress)
    except InputFaults as refused:
        told = ReadApart(None, refused.faults, refused.warnings)
    finally:
        sent.file.unlink(missing_ok=True)
        shutil.rmtree(sent.unpacked, ignore_errors=True)
    return replace(told, faults=tuple(_named(fault, sent) for fault in told.faults))


def _named(fault: Finding, sent: SentFile) -> Finding:
    """Call the file what its sender calls it."""
    ours = sent.file.name
    remedy, value = (text.replace(ours, sent.name) for text in (fault.remedy, fault.value))
    return replace(fault, remedy=remedy, value=value)


def _laid_out(sent: SentFile) -> Path:
    """Give what is to be read, once it is known to be what it says and within bounds.

    Raises
    ------
    InputFaults
        Where it is not.
    """
    require_kind(sent.file, sent.ending)
    if sent.ending == ".xlsx":
        require_plain_workbook(sent.file, Room())
    if sent.ending != ".zip":
        return sent.file
    sent.unpacked.mkdir(mode=0o700)
    unpack(sent.file, sent.unpacked, Room(), IN_FOLDER)
    files = sorted(sent.unpacked.iterdir())
    for each in files:
        require_kind(each, each.suffix.lower())
    whole = [each for each in files if each.suffix.lower() == ".gpkg" and each.stem not in TABLES]
    return whole[0] if len(whole) == 1 else sent.unpacked
