"""The commands about a working database: what they print, and with which code they end."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from slackwater.cli import main
from slackwater.store import open_register
from tests.files import tiny
from tests.store.conftest import NewUrl
from tests.store.said import capacity, check, edit

SIGNALS = (signal.SIGINT, signal.SIGTERM)


@dataclass(frozen=True)
class Ended:
    """What a command printed, and the code it ended with."""

    code: int
    out: str
    err: str


Run = Callable[..., Ended]


@pytest.fixture
def slackwater(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Iterator[Run]:
    """Run the command as its entry point does, within this process."""
    before = {sign: signal.getsignal(sign) for sign in SIGNALS}

    def run(*words: str | Path) -> Ended:
        monkeypatch.setattr(sys, "argv", ["slackwater", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        out, err = capsys.readouterr()
        return Ended(int(ended.value.code or 0), out, err)

    yield run
    for sign, handler in before.items():
        signal.signal(sign, handler)


def test_from_a_folder_to_a_database_and_back(
    new_url: NewUrl, tmp_path: Path, slackwater: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Look, import, import again, export, back up, restore: each says what it did."""
    folder, url = tiny.save_folder(tmp_path / "umber"), new_url()
    version = tiny.version_of(folder)
    looked = slackwater("import", folder, "--database", url, "--dry-run")
    assert looked.code == 0, looked.err
    assert "offtakes: 2 added" in looked.out
    assert f"nothing was written; it would be data version {version}" in looked.out
    monkeypatch.setenv("SLACKWATER_DATABASE", url)
    done = slackwater("import", folder)
    assert f"Umber Brook is in the database: revision 1, data version {version}" in done.out
    again = slackwater("import", folder, "--database", url)
    assert again.out == f"nothing differs; the database holds data version {version}\n"
    out = slackwater("export", tmp_path / "out.gpkg", "--database", url)
    assert out.out.startswith(f"wrote {tmp_path}/out.gpkg: Umber Brook, data version {version}")
    assert "private columns" in out.out
    book = slackwater("export", tmp_path / "out.xlsx", "--database", url)
    assert f"the database has {version}" in " ".join(book.out.split())
    kept = slackwater("backup", tmp_path / "b.sqlite", "--database", url)
    assert "read back and whole: Umber Brook, revision 1" in kept.out
    refused = slackwater("restore", tmp_path / "b.sqlite", "--database", url)
    assert refused.code == 2
    assert "--replace" in refused.err
    back = slackwater("restore", tmp_path / "b.sqlite", "--database", url, "--replace")
    assert f"data version {version}" in back.out
    assert "already" in slackwater("migrate", "--database", url).out


@pytest.mark.parametrize("kind", ["sqlite"])
def test_an_import_is_whole_or_not_at_all(url: str, tmp_path: Path, slackwater: Run) -> None:
    """A catchment at fault ends with 2, every fault named, and the database is as it was."""
    folder = tiny.save_folder(tmp_path / "umber")
    guilds = folder / "guilds.csv"
    guilds.write_text(guilds.read_text().replace("10-20", "10-40"))
    done = slackwater("import", folder, "--database", url)
    assert done.code == 2
    assert "guilds row 2 (dace), window_full" in done.err
    with closing(open_register(url)) as register:
        assert register.standing().revision == 1


@pytest.mark.parametrize("kind", ["sqlite"])
def test_what_an_import_replaced_can_be_had_again(
    url: str, tmp_path: Path, slackwater: Run
) -> None:
    """An import over someone's edits keeps the data with them, and names the reason for itself."""
    with closing(open_register(url)) as register:
        edited = register.apply(edit(capacity(0.3, 0.35)), check).standing.data_version
    folder = tiny.save_folder(tmp_path / "umber")
    done = slackwater(
        "import", folder, "--database", url, "--why", "the spring survey", "--by", "Ines"
    )
    assert "0012, capacity_m3s: 0.35 -> 0.3" in done.out
    with closing(open_register(url)) as register:
        (last,) = register.history(limit=1)
        assert (last.kind, last.why, last.by) == ("import", "the spring survey", "Ines")
    out = slackwater("export", tmp_path / "old", "--edition", edited, "--database", url)
    assert out.code == 0, out.err
    assert tiny.version_of(tmp_path / "old") == edited
    lost = slackwater("export", tmp_path / "no", "--edition", "0123456789ab", "--database", url)
    assert lost.code == 2
    assert "was not kept" in lost.err


@pytest.mark.parametrize("words", [
    ("serve",), ("import", "nowhere"), ("export", "a.gpkg"),
    ("export", "a.doc", "--database", "x.db"), ("restore", "b.sqlite", "--database", "x.db"),
    ("backup", "b.sqlite", "--database", "nothing.db"), ("migrate", "--database", "mysql://h/x"),
])  # fmt: skip
def test_bad_usage_ends_with_2(
    words: tuple[str, ...], tmp_path: Path, slackwater: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A missing database, file or ending is said in one message, and nothing is made."""
    monkeypatch.chdir(tmp_path)
    done = slackwater(*words)
    assert done.code == 2
    assert "Traceback" not in done.err
    assert list(tmp_path.iterdir()) == []


def test_serve_takes_files_or_a_database(tmp_path: Path, slackwater: Run) -> None:
    """Both at once are refused; which of them would be served is not guessed."""
    both = slackwater("serve", tmp_path, "--database", tmp_path / "a.db")
    assert both.code == 2
    assert "not both" in both.err
