"""The guide's page on meetings says what the code does."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import typer

from slackwater.cli import app
from slackwater.desk.meeting.minutes import FEW
from slackwater.desk.meeting.rooms import MINUTES_FOR, MOST_HOURS, USUAL_HOURS
from slackwater.desk.meeting.said import TITLES
from slackwater.guide.pages import page
from slackwater.meeting.led import STEPS
from slackwater.meeting.phone_book import MOST_PHONES
from slackwater.meeting.phones import GROUPS, MOST_LEVEL, MOST_OF_PLACE, MOST_PLACES
from slackwater.meeting.snapshot import LEAST_TRIED

ROOT = Path(__file__).resolve().parents[2]


def guide() -> str:
    """The page, each run of spaces one."""
    return re.sub(r"\s+", " ", page("meeting"))


def test_its_numbers_are_the_code_s() -> None:
    """Hours, phones, places, levels, days of the minutes and least counts are those in force."""
    for words in (
        f"(1 to {MOST_HOURS}, else {USUAL_HOURS})",
        f"At most {MOST_PHONES} phones join",
        f"mark up to {MOST_PLACES} places that matter, each with up to {MOST_OF_PLACE} characters",
        f"each criterion from 0 to {MOST_LEVEL}",
        f"only from **{LEAST_TRIED}** weightings on",
        f"a count below {FEW} is \"fewer than {FEW} phones\"",
        f"can be read for {MINUTES_FOR.days} days",
        f"({', '.join(GROUPS)}) or nothing",
    ):  # fmt: skip
        assert words in guide(), words


def test_its_steps_and_keys_are_the_wall_s() -> None:
    """Each step stands under its number and title; each key of the list is told."""
    for number, step in enumerate(STEPS, 1):
        assert f"| {number} | {TITLES[step]} |" in page("meeting")
    keys = (ROOT / "web/src/meet/keys.ts").read_text(encoding="utf-8")
    for name in re.findall(r'\["([^"\]]+)", "', keys):
        assert all(f"**{each}**" in guide() for each in name.split(" or ")), name


def test_its_commands_are_known() -> None:
    """Each call of the page, and each `slackwater` command named in it, is one of the program's."""
    commands = typer.main.get_command(app).commands
    named = re.findall(r"`?slackwater (\w+)", page("meeting"))
    assert "meet" in named
    assert set(named) <= commands.keys()
    for line in re.findall(r"^slackwater .*$", page("meeting"), re.MULTILINE):
        known = {option for each in commands[shlex.split(line)[1]].params for option in each.opts}
        assert {word for word in shlex.split(line) if word.startswith("--")} <= known
