"""What do the settings say, and on which line? Reads TOML text as plain values."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from slackwater.errors import InputFaults
from slackwater.files.csv_table import decoded
from slackwater.files.reading import Reading, finding

HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]#]+?)\s*\]\]?\s*(?:#.*)?$")
ENTRY = re.compile(r"""\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'|\s*\.\s*)+?)\s*=\s*(.*)$""")
PLACE = re.compile(r"\s*\(at line (\d+), column (\d+)\)$")


def parse_settings(text: str, found_in: str) -> tuple[Mapping[str, Any], Mapping[str, int]]:
    """Parse settings.

    Returns
    -------
    settings : nested plain values.
    rows : dotted key -> line, as far as a simple scan finds it; rows of ``[[criterion]]`` are
        ``criterion.1.column`` and so on.

    Raises
    ------
    InputFaults
        ``unreadable``, with the line.
    """
    try:
        return tomllib.loads(text), setting_lines(text)
    except (ValueError, RecursionError) as error:
        message = str(error)
        place = PLACE.search(message)
        line = int(place[1]) if place else max(1, len(text.splitlines()))
        told = PLACE.sub("", message).removesuffix(" (at end of document)")
        column = f", column {place[2]}" if place else ""
        remedy = f"{found_in} is not TOML at line {line}{column}: {told}"
        raise InputFaults([finding("catchment", "unreadable", remedy, row=line)]) from error


def read_settings_file(path: Path, reading: Reading) -> tuple[Mapping[str, Any], Mapping[str, int]]:
    """Read a settings file; without it, or where it cannot be read, there are no settings."""
    if not (path.is_file() or path.is_symlink()):
        return {}, {}
    try:
        reading.require_accepted(path, "catchment")
        return parse_settings(decoded(path.read_bytes(), "catchment", ""), path.name)
    except InputFaults as error:
        reading.faults.extend(error.faults)
        return {}, {}


def setting_lines(text: str) -> dict[str, int]:
    """Find the line of each key, header lines included; text over several lines is skipped."""
    lines: dict[str, int] = {}
    seen: Counter[str] = Counter()
    prefix = closing = ""
    for number, line in enumerate(text.splitlines(), 1):
        if closing:
            closing = "" if closing in line else closing
        elif header := HEADER.match(line):
            prefix = _plain(header[2])
            if header[1] == "[[":
                seen[prefix] += 1
                prefix = f"{prefix}.{seen[prefix]}"
            lines.setdefault(prefix, number)
        elif entry := ENTRY.match(line):
            key = _plain(entry[1])
            lines.setdefault(f"{prefix}.{key}" if prefix else key, number)
            closing = _left_open(entry[2])
    return lines


def _plain(dotted: str) -> str:
    parts = re.findall(r""""[^"]*"|'[^']*'|[^.\s]+""", dotted)
    return ".".join(part.strip("\"'") for part in parts)


def _left_open(value: str) -> str:
    """Give the mark that ends a text begun on this line, "" where it ends here."""
    for mark in ('"""', "'''"):
        if value.startswith(mark) and mark not in value[3:]:
            return mark
    return ""
