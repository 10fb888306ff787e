"""Files that someone sent: received within bounds, looked at, taken in or forgotten.

Nothing of a file is in the database before it is accepted. Until then it lies in a folder that
only this service may enter, under a name of ours; the latest few are kept, and none outlives it,
or, where it was killed, the start of the next one.
"""

from __future__ import annotations

import tempfile
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import asdict
from functools import cached_property
from pathlib import Path
from threading import BoundedSemaphore, Lock
from types import TracebackType
from typing import Any
from weakref import finalize

from slackwater.desk.editing import Check, findings_of, kept
from slackwater.desk.importing import Present
from slackwater.desk.long_work import Tell, Values, Work
from slackwater.desk.sent_file import NO_SUCH_UPLOAD, SentFile, ending_of, read_sent
from slackwater.desk.upload_folder import UploadFolder, sweep_left_behind
from slackwater.desk.working import Working
from slackwater.errors import Busy, NotHere, TooLarge, UsageError
from slackwater.progress import Progress

MOST_BYTES = 64_000_000
KEPT_AT_MOST = 4
RECEIVED_AT_ONCE = 4


class Receiving:
    """A file on its way in; what is not received to the end is taken away again."""

    def __init__(self, uploads: Uploads, upload: SentFile) -> None:
        self._uploads, self.upload = uploads, upload
        self._file = upload.file.open("xb")
        self._bytes = 0
        self._whole = False

    def __enter__(self) -> Receiving:
        """Begin."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End, well or not."""
        try:
            self._file.close()
        except OSError:  # what was still to be written found no room
            self._whole = False
            raise
        finally:
            self._uploads.received(self.upload, whole=self._whole)

    def write(self, block: bytes) -> None:
        """Write down what has come; what is too much is not.

        Raises
        ------
        TooLarge
            Once it is twice as much: until then its sender is heard out, so as to hear the answer.
        """
        self._bytes += len(block)
        if self._bytes <= self.upload.most_bytes:
            self._file.write(block)
        elif self._bytes > 2 * self.upload.most_bytes:
            raise self._uploads.too_large()

    def finish(self) -> SentFile:
        """Give the file once all of it has come.

        Raises
        ------
        TooLarge
            Where it was more than is taken in.
        UsageError
            Where nothing came.
        """
        if self._bytes > self.upload.most_bytes:
            raise self._uploads.too_large()
        if not self._bytes:
            raise UsageError("the file is empty")
        self._whole = True
        return self.upload


class Uploads:
    """The files lately sent to one service; the oldest makes room.

    Parameters
    ----------
    most_bytes : of one file.
    """

    def __init__(self, most_bytes: int = MOST_BYTES, kept_at_most: int = KEPT_AT_MOST) -> None:
        self.most_bytes = most_bytes
        self._kept_at_most = kept_at_most
        self._known: OrderedDict[str, SentFile] = OrderedDict()
        self._places = BoundedSemaphore(RECEIVED_AT_ONCE)
        self._lock = Lock()
        self._away: Callable[[], Any] = lambda: None
        sweep_left_behind()

    def receive(self, name: str, said_bytes: int = 0) -> Receiving:
        """Begin to receive a file.

        Parameters
        ----------
        said_bytes : how long it is said to be, 0 where that is not said.

        Raises
        ------
        UsageError
            Where the name is no plain name with an ending that is read.
        TooLarge, Busy
            Where it is too long by what it says, or as many are being received as can be.
        """
        ending = ending_of(name)
        if said_bytes > 2 * self.most_bytes:
            raise self.too_large()
        if not self._places.acquire(blocking=False):
            raise Busy("as many files are being received as can be; try again in a while")
        try:
            folder = Path(tempfile.mkdtemp(dir=self._folder))
            return Receiving(self, SentFile(name, ending, folder, self.most_bytes))
        except BaseException:
            self._places.release()
            raise

    def received(self, upload: SentFile, *, whole: bool) -> None:
        """Note that receiving ended; keep the file where it came whole."""
        self._places.release()
        dropped = [] if whole else [upload]
        with self._lock:
            if whole:
                self._known[upload.id] = upload
            while len(self._known) > self._kept_at_most:
                dropped.append(self._known.popitem(last=False)[1])
        for each in dropped:
            each.drop()

    def look(self, working: Working, upload: SentFile) -> Work:
        """Give the work of reading a file and comparing it with what stands; it changes nothing."""

        def work(progress: Progress, _: Tell) -> Values:
            present = Present.of(working.register.raw())
            try:
                told = read_sent(upload, present, progress)
            except OSError as gone:  # newer ones made it give way
                raise NotHere(NO_SUCH_UPLOAD) from gone
            upload.revision = working.register.standing().revision
            upload.faults = told.faults
            given = told.given
            differs = working.register.difference(given) if given else {}
            return {
                "upload_id": upload.id,
                "name": upload.name,
                "faults": findings_of(told.faults),
                "warnings": findings_of(told.warnings),
                "difference": {name: asdict(each) for name, each in differs.items()},
                "data_version": told.data_version,
            }

        return work

    def accept(
        self, working: Working, upload_id: str, edit_id: str, why: str, by: str
    ) -> dict[str, Any]:
        """Take a file in, in place of all that stands: all of it or nothing.

        Raises
        ------
        NotHere
            Where it is not there, or was not looked at to the end.
        InputFaults
            Where it is at fault.
        EditConflict
            Where the data was edited since it was looked at.
        """
        upload = self._known.get(upload_id)
        if upload is None:
            raise NotHere(NO_SUCH_UPLOAD)
        check = Check()
        result = working.register.replace(
            upload.given(),
            check,
            edit_id=edit_id,
            why=why,
            by=by,
            source=upload.name,
            on_revision=upload.revision,
        )
        return {**kept(working, result, check), "warnings": []}

    def forget(self, upload_id: str) -> None:
        """Take a file away; NotHere where it is not there."""
        with self._lock:
            upload = self._known.pop(upload_id, None)
        if upload is None:
            raise NotHere(NO_SUCH_UPLOAD)
        upload.drop()

    def close(self) -> None:
        """Take every file away."""
        with self._lock:
            self._known.clear()
        self._away()

    @cached_property
    def _folder(self) -> str:
        """A folder that only this user may enter, made when the first file comes."""
        folder = UploadFolder()
        self._away = finalize(self, folder.remove)
        return folder.path

    def too_large(self) -> TooLarge:
        """Say how large a file may be."""
        return TooLarge(
            f"a file may have at most {self.most_bytes / 1e6:,.0f} MB; pack the folder (.zip), or "
            "use slackwater import"
        )
