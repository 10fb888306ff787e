"""What a service that was killed left of sent files is taken away by the next one, and no more."""

from __future__ import annotations

import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from slackwater.desk.upload_folder import PREFIX, UploadFolder, sweep_left_behind
from slackwater.desk.uploads import Uploads

HOLDER = (
    "import sys, time, tempfile; tempfile.tempdir = sys.argv[1];"
    "from slackwater.desk.upload_folder import UploadFolder;"
    "held = UploadFolder(); open(held.path + '/secret.gpkg', 'w').write('names');"
    "print(held.path, flush=True); time.sleep(600)"
)


@pytest.fixture(autouse=True)
def away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place for passing files of this test's own."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


@pytest.fixture
def holder(away: Path) -> Iterator[tuple[subprocess.Popen[str], Path]]:
    """Another service that holds a folder with a file in it."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(away)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout
    yield process, Path(process.stdout.readline().strip())
    process.kill()
    process.wait()
    process.stdout.close()


def test_a_killed_services_folder_is_taken_away_when_another_starts(
    holder: tuple[subprocess.Popen[str], Path],
) -> None:
    """As long as it lives its folder stays; after SIGKILL the next start takes it away."""
    process, folder = holder
    Uploads()
    assert (folder / "secret.gpkg").is_file()
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert (folder / "secret.gpkg").is_file()
    Uploads()
    assert not folder.exists()


def test_only_our_own_folders_are_taken_away(away: Path) -> None:
    """Not what is called otherwise, nor a link, nor a file."""
    other = away / "other-uploads-1"
    other.mkdir()
    (other / "kept").touch()
    (away / f"{PREFIX}link").symlink_to(other, target_is_directory=True)
    (away / f"{PREFIX}file").touch()
    before = sorted(away.rglob("*"))
    assert sweep_left_behind() == 0
    assert sorted(away.rglob("*")) == before


def test_a_folder_that_is_let_go_is_gone(away: Path) -> None:
    """Ended well, a service leaves nothing; another of the same process is not swept."""
    mine = UploadFolder()
    assert sweep_left_behind() == 0
    mine.remove()
    assert list(away.glob(f"{PREFIX}*")) == []
