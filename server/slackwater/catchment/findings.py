"""What is wrong or odd in the data? Every finding is kept, none stops the reading."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

from slackwater.catchment.contract import TABLES
from slackwater.errors import Finding

LISTED_AT_MOST = 1000
"""Findings listed one by one for one table, column and code; the rest are counted in one more."""

SHOWN_CHARACTERS = 200


class Findings:
    """Collects faults and warnings in the order they are met."""

    def __init__(self, faults: Iterable[Finding] = ()) -> None:
        self._faults = list(faults)
        self._warnings: list[Finding] = []
        self._counts: Counter[tuple[bool, str, str, str]] = Counter()

    def fault(self, finding: Finding) -> None:
        """Keep a fault."""
        self._keep(finding, self._faults, is_fault=True)

    def warn(self, finding: Finding) -> None:
        """Keep a warning."""
        self._keep(finding, self._warnings, is_fault=False)

    @property
    def faults(self) -> tuple[Finding, ...]:
        """Every fault by table and row, long runs of one kind closed with their count."""
        return _in_order([*self._faults, *self._rests(is_fault=True)])

    @property
    def warnings(self) -> tuple[Finding, ...]:
        """Every warning by table and row, long runs of one kind closed with their count."""
        return _in_order([*self._warnings, *self._rests(is_fault=False)])

    def _keep(self, finding: Finding, kept: list[Finding], *, is_fault: bool) -> None:
        kind = (is_fault, finding.table, finding.column, finding.code)
        self._counts[kind] += 1
        if self._counts[kind] <= LISTED_AT_MOST:
            kept.append(finding)

    def _rests(self, *, is_fault: bool) -> list[Finding]:
        return [
            Finding(
                table,
                None,
                "",
                column,
                "",
                code,
                f"{count - LISTED_AT_MOST} more rows have the same trouble",
            )
            for (of_faults, table, column, code), count in self._counts.items()
            if of_faults == is_fault and count > LISTED_AT_MOST
        ]


def _in_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """Settings first, then the tables as the contract lists them, the whole table before rows."""
    order = {name: number for number, name in enumerate(("catchment", *TABLES))}
    return tuple(
        sorted(findings, key=lambda found: (order.get(found.table, len(order)), found.row or 0))
    )


def shown(cell: Any) -> str:
    """Give a cell as text for a message, cut where it is very long."""
    if cell is None:
        return ""
    text = str(cell).lower() if isinstance(cell, bool) else str(cell)
    return text if len(text) <= SHOWN_CHARACTERS else text[:SHOWN_CHARACTERS] + "…"


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Give ``; did you mean 'x'?`` for the nearest known word, or nothing."""
    near = nearest_word(word, known)
    return f"; did you mean {near!r}?" if near else ""


def nearest_word(word: str, known: Iterable[str], alike: float = 0.6) -> str:
    """Give the known word most like ``word``, or "" where none is at least that much alike."""
    lowered: dict[str, str] = {}
    for each in known:
        lowered.setdefault(each.lower(), each)
    near = get_close_matches(word.lower(), lowered, n=1, cutoff=alike)
    return lowered[near[0]] if near else ""
