"""The house: sizes, names, the guide and the README against the code."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
import typer

from slackwater.catchment.contract import RANGES, SETTINGS, TABLES
from slackwater.cli import app
from slackwater.guide.pages import PAGES, page

ROOT = Path(__file__).parents[2]
SERVER = ROOT / "server" / "slackwater"
MODULES = sorted(SERVER.rglob("*.py"))
MOST_LINES = 300
CARD = {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "web", "tests", "demo_data",
        "scripts", "CHANGELOG.md", "LICENSE", "requirements.txt",
        "requirements-dev.txt"}  # fmt: skip
PRIVATE = {("offtakes", "landholder"), ("offtakes", "licence"), ("offtakes", "contact"),
           ("offtakes", "quote"), ("offtakes", "chainage_m"), ("metered", "draw_m3s")}  # fmt: skip


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(SERVER)))
def test_modules_are_small_and_say_what_they_answer(module: Path) -> None:
    """No module passes 300 lines, and each opens with a docstring."""
    text = module.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= MOST_LINES
    assert text.startswith('"""')


def test_no_room_is_called_by_what_it_is_not() -> None:
    """Nothing is called utils, helpers, common, manager or base."""
    assert not [m for m in MODULES if re.search(r"utils|helpers|common|manager|base", m.stem)]


def test_the_top_level_is_the_card() -> None:
    """Besides dot files the top level holds what the project's card names, nothing else."""
    assert {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} <= CARD


def test_every_field_is_documented_in_the_guide() -> None:
    """The data page names every table, column, setting and range with its meaning."""
    data = page("data")
    for spec in TABLES.values():
        assert f"## {spec.name}" in data
        for field in spec.fields:
            assert f"| `{field.name}` |" in data
            assert field.meaning in data
    for setting in SETTINGS:
        assert f"| `{setting.name}` |" in data
    assert all(f"`{name}`" in data for name in RANGES)


@pytest.mark.parametrize("name", PAGES)
def test_every_page_of_the_guide_opens(name: str) -> None:
    """Each page has a title and some text."""
    assert page(name).startswith("# ")
    assert len(page(name)) > 300


def test_what_must_stay_private_is_marked_so() -> None:
    """What may never leave the agency is private in the contract, and so is the point."""
    marked = {
        (spec.name, field.name)
        for spec in TABLES.values()
        for field in spec.fields
        if field.visibility == "private"
    }
    assert marked == PRIVATE
    assert TABLES["offtakes"].geometry_visibility == "private"


def test_the_readme_names_commands_that_exist() -> None:
    """Each script and each command that the README names is there."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = typer.main.get_command(app).commands
    for script in re.findall(r"`(scripts/\w+)", text):
        assert (ROOT / script).is_file(), script
    for command in re.findall(r"`slackwater (\w+)", text):
        assert command in commands, command


def commands_in_blocks(text: str) -> list[list[str]]:
    """Words of each `slackwater` call in a page's blocks of code."""
    blocks = re.findall(r"```\n(.*?)```", text, re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines()]
    return [
        shlex.split(line[line.index("slackwater ") :])
        for line in lines
        if line.startswith("slackwater ") or "bin/slackwater " in line
    ]


def test_the_hosting_page_names_commands_and_options_that_exist() -> None:
    """Each call on the hosting page is one the program knows, options too."""
    commands = typer.main.get_command(app).commands
    calls = commands_in_blocks(page("hosting"))
    assert {call[1] for call in calls} >= {
        "import", "serve", "backup", "restore", "migrate", "user", "meet"
    }  # fmt: skip
    for _, name, *words in calls:
        command = commands[name]
        if hasattr(command, "commands"):  # a family of commands, like user
            command = command.commands[words[0]]
        known = {option for each in command.params for option in each.opts}
        assert {word for word in words if word.startswith("--")} <= known, (name, words)
